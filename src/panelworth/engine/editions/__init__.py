"""Two editions of a folder: which inputs changed, and the effect of each change on the figures.

A site contains edition.json with this edition's inputs and figures, and edition-before.json with
those of the last edition that differs. A build compares with edition.json if an input or a figure
has changed; otherwise with edition-before.json, which it then writes again byte for byte. So a
rebuild of unchanged files changes nothing.
"""
