"""Pictures: charts with axes, marks in rows, bars.

`axes` makes Vega-Lite specifications with altair; `rendering` has vl-convert draw them. They are
not checked while a site is built, as that is most of their time; a test holds every chart of the
demos to the schema. A page takes its charts in, with theme colours as names of the stylesheet, so
that they follow light, dark and print without script. Marks in rows are placed here and drawn by
macros of templates/parts.html. Each picture has its point in words, in its title.
"""
