"""A whole site: layout, downloads, links, the preview; only `folder` writes to disc."""
