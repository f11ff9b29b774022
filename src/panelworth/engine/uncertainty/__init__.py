"""Ranges drawn many times: distributions, draws, chances, what moves the result.

Every range has a random stream of its own, keyed by its path. So no input moves another's draws,
and blocks of any size agree. A range that follows another (`like`) takes the draw of its root.
"""
