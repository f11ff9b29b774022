"""An option's money month by month: rows of a cash flow, dates, prices, loans, present values.

One function makes one row, with its equation in the docstring; `flows` names them all. An option
is a list of phases: each has its dates, its work, and the airplane as it is from the month after
its finish. Rows have the smallest shape that holds them and are added up in it (`rows`); they are
expanded to months only where each month's balance counts. In memory the trials of a month are
adjacent. One thread is used: with two, each waits for the other's access to memory.
"""
