"""What a user may write: every input declared once, with its label, unit, meaning and bounds."""
