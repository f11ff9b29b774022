"""Frozen figures: all that publishing may know of the engine."""
