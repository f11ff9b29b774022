"""Numbers as users write them, for hypothesis: none that is nearer to 0 than a file may say."""

from hypothesis import strategies as st

DECIMALS = 6


def written(low: float, high: float) -> st.SearchStrategy[float]:
    """Draw numbers between two bounds, to six decimals."""
    return st.floats(low, high).map(lambda number: round(number, DECIMALS))
