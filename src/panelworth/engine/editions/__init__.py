"""Two editions of a folder: which inputs changed, and what each change did to the figures."""
