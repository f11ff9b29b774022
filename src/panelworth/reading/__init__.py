"""Reads a folder of a user's files into frozen records, or into a list of all problems."""
