"""The handout and the ballot sheet, as pages and as PDFs."""
