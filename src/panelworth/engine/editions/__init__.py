"""Two editions of a folder: which inputs changed, and what each change did to the figures.

A site keeps edition.json, this edition's figures and inputs, and edition-before.json, the last one
that differs. A build compares with the former if an input or a figure changed, else with the
latter, which it then writes again byte for byte. So a rebuild of unchanged files changes nothing.
"""
