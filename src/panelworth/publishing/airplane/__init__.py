"""Pages on the airplane itself: when, weight, power, failures, needs, small jobs, inspections."""
