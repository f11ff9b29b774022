"""How an option is funded: raises, the reserve and its floor, members' bills.

A raise to solve for follows from all trials at once. Each trial has a least raise that holds the
floor in it (`reserve`). Sorted by size, the raise at rank ⌈chance·trials⌉ holds the floor in the
share of the trials that the members ask for (`reserve_trials`). Balances by month are not stored,
to save memory. Once the raise is known, the few trials whose months are needed are evaluated again.
"""
