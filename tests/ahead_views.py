"""Views in which options end ahead of one another in other shares of the futures."""

from dataclasses import replace
from itertools import permutations
from types import MappingProxyType

from panelworth.publishing.view import View

OPTIONS = ("keep", "part", "full", "replace")
PAIRS = [(one, other) for one, other in permutations(OPTIONS, 2) if one < other]


def unmoved(view: View) -> View:
    """Return the view with every option allowed to start as planned."""
    figures = view.figures
    options = {key: replace(each, allowed_start=None) for key, each in figures.options.items()}
    drawn = replace(figures.uncertainty, moved=MappingProxyType({}))
    airplane = replace(figures.airplane, planners={})
    new = replace(figures, options=options, uncertainty=drawn, airplane=airplane)
    return replace(view, figures=new)


def with_ahead(view: View, shares: dict[tuple[str, str], float]) -> View:
    """Return the view with other shares of futures in which one option is ahead of another."""
    both = {**shares, **{(other, one): 1 - share for (one, other), share in shares.items()}}
    drawn = view.figures.uncertainty
    options = {
        key: replace(
            each, ahead_of={**each.ahead_of, **{b: s for (a, b), s in both.items() if a == key}}
        )
        for key, each in drawn.options.items()
    }
    return replace(view, figures=replace(view.figures, uncertainty=replace(drawn, options=options)))
