"""From a folder of a user's files to frozen records, or to a list of all that is wrong."""
