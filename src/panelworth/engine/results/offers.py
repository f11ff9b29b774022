"""What one supplier offers for an option, by its newest quotes."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Offer:
    """One supplier's quotes with their changes, tax in, at likely values.

    `comparable` is the total over the items that every supplier has quoted. `missing` names the
    items that some supplier has quoted and this one has not. `expires` is the earliest day on which
    one of its quotes ends, None where none says so.
    """

    total: float
    comparable: float
    missing: tuple[str, ...]
    expires: str | None
