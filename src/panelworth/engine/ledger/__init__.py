"""Quotes, invoices and payments: current prices, and how far a project has come.

The ledger is settled once: `settlement` makes of the written case one whose items have their
current prices, so that every path, draw, swing and break-even follows. The rules, case by case with
their working: tests/cases/ledger.toml, and splits.toml for rows that name several things.
"""
