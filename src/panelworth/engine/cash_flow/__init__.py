"""An option's money month by month: rows of a cash flow, dates, prices, loans, present values.

One function makes one row, with its equation in the docstring; `flows` names them all. An option is
a list of phases: each has its dates, its work, and the airplane as it is from the month after its
finish. A row is stored and added up in the smallest shape that holds it (`rows`). It is expanded to
months only where the balance of each month is needed. In memory the trials of a month are adjacent,
because nearly all operations take one month of all trials. Only one thread is used: two threads
would not be faster, since the time goes into access to memory.
"""
