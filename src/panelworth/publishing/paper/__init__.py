"""The handout and the ballot sheet, as pages and as PDFs.

Rows and headings come from the words of the front page. `pdf` uses the same templates with
weasyprint, in memory and without a network. In a PDF, marks are backgrounds and charts are images
with their own colours, since the page's stylesheet does not apply within an image.
"""
