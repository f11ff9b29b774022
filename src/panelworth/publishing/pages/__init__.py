"""The pages of a site, each with its question."""
