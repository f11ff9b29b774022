"""What the terminal shows: tables, counted votes, a summary for e-mail."""
