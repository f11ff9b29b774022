"""Pictures: charts with axes, marks in rows, bars."""
