"""An option's money month by month: rows of a cash flow, dates, prices, loans, present values."""
