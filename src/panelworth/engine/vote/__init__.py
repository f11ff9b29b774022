"""Counts of members' votes. A tie is reported as a result and is not decided by chance."""
