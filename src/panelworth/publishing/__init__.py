"""From figures to sentences, pictures, pages and downloads; only `site` writes to disc."""
