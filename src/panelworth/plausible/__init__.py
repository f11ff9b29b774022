"""Warnings about values that are well-formed but probably a mistake."""
