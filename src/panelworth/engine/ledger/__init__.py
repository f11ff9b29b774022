"""Quotes, invoices and payments: current prices, and the progress of a project.

The ledger is applied once: `settlement` returns the case with the current price of each item. All
draws, swings and break-evens then use this price without knowing of the ledger. The rules, case by
case with their working: tests/cases/ledger.toml, and splits.toml for rows with several items.
"""
