"""The airplane itself: weight, power, failures, inspections, downtime, what members want."""
