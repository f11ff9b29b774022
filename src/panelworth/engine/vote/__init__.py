"""Members' votes, counted. Ties are results; nothing is drawn by lot."""
