"""The handout and the ballot sheet, as pages and as PDFs.

They take rows and headings from the front page's words. `pdf` lays the same template out with
weasyprint, in memory and without any network. There, marks are backgrounds and charts are images
with their own colours, since no stylesheet reaches into them.
"""
