"""Quotes, invoices and payments: current prices, and the progress of a project.

The ledger is applied once: `settlement` returns the case with the current price of each item. All
draws, swings and break-evens then use this price and do not read the ledger. The rules, each with a
worked example, are in tests/cases/ledger.toml, and in splits.toml for rows with several items.
"""
