"""Ranges drawn many times: distributions, draws, chances, what moves the result."""
