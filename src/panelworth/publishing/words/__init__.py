"""The sentences of pages. Figures have no more digits than they are certain to.

Options have their short names, without quotation marks. Options with the same fact share a
sentence. A figure is rounded to about a fiftieth of its range from p10 to p90 (`rounding`), and a
total beside a difference is the sum of the rounded figures. No sentence recommends an option.
"""
