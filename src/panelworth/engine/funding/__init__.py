"""How it is paid: raises, the reserve and its floor, members' bills.

A raise that is to be solved is found in all trials at once. Each trial has a least raise that
holds the floor in it (`reserve`); the raise is the one at the rank asked for (`reserve_trials`).
Months are not kept: the few trials whose months count once the raise is known are worked out again.
"""
