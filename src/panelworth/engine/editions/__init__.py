"""Two editions of a folder: which inputs changed, and the effect of each change on the figures.

A site contains edition.json with this edition's inputs and figures, and edition-before.json with
those of the last edition that differs. If an input or a figure has changed, a build compares with
edition.json. Otherwise it compares with edition-before.json and writes that file again byte for
byte, so that a rebuild of unchanged files changes nothing.
"""
