"""An option's money month by month: rows of a cash flow, dates, prices, loans, present values.

One function makes one row, with its equation in the docstring; `flows` names them all. An option
is a list of phases: each has its dates, its work, and the airplane as it is from the month after
its finish. Rows come in the narrowest form they have and are added up in it (`rows`); months are
laid out only where each month's balance counts. In memory the trials of a month lie side by side.
One thread works through them: two would wait for each other.
"""
