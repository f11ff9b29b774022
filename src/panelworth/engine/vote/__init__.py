"""Members' votes, counted."""
