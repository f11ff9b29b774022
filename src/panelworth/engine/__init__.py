"""From frozen records to arrays to figures: no files, clock, rounding or output."""
