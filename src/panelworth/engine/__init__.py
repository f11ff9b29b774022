"""From frozen records to arrays to figures: no files, clock, rounding or output.

An option is worked out in T trials at once, from arrays of shape (T,), or (1,) where all trials
agree. The likely view is one trial, a swing two, a break-even search a handful, the draws some
thousands: the equations do not know which. `evaluate` calls the other parts in order; `insight`
gathers what only pages need.
"""
