"""Quotes, invoices and payments: current prices, and how far a project has come."""
