"""The value of an option against the baseline: benefit, break-evens, rates of return, what-if."""
