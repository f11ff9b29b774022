"""What a cash flow earns against the baseline: benefit, break-evens, rates of return, what-if."""
