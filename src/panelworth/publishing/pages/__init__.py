"""The pages of a site, one module or more for each; every page answers one question."""
