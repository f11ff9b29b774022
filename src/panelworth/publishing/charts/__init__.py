"""Pictures: charts with axes, rows of marks, bars.

`axes` makes Vega-Lite specifications with altair; `rendering` draws them with vl-convert. They are
not validated during a build, because validation takes most of the time; a test validates every
chart of the demos. A page contains its charts as SVG with the colour names of the stylesheet, so
that they follow the light and the dark scheme and print without a script. Marks and bars get their
places here; the macros of templates/parts.html draw them. The title of each picture says in words
what it shows.
"""
