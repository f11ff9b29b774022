"""Monte Carlo simulation: distributions of ranges, draws, chances, shares of variance.

Every range has a random stream of its own, keyed by its path. Therefore a new input does not change
the draws of other inputs, and blocks of any size give the same draws. A range that follows another
(`like`) takes the draw of its root.
"""
