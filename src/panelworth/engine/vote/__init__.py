"""Counts of members' votes. A tie is a result; no lots are drawn."""
