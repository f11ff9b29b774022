"""The project under way, once the members have decided: cost, finish and cash from here.

The comparison stays what the members voted on. This package works out the chosen option alone, for
the status date: by the ledger's rows up to that day and by the dates on which things happened.
Source: the project's method, section 7.
"""
