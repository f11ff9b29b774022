"""Views in which an option is paid for in another way: what tests of money's words start from."""

from dataclasses import replace
from typing import Any

from panelworth.engine.results.figures import (
    Funded,
)
from panelworth.publishing.view import View


def with_funded(view: View, option_id: str, **changed: Any) -> View:  # noqa: ANN401 (any figure)
    """Return the view with some figures of an option's funding changed, as they lead on pages."""
    option = view.option(option_id)
    there = option.allowed_start or option
    assert there.funded is not None
    there = replace(there, funded=replace(there.funded, **changed))
    option = replace(option, allowed_start=there) if option.allowed_start else there
    options = {**view.figures.options, option_id: option}
    return replace(view, figures=replace(view.figures, options=options))


def funded(view: View, option_id: str) -> Funded:
    """Return how an option is paid for, from its first allowed start where one is told of."""
    found = view.leading(view.tags[option_id]).funded
    assert found is not None
    return found
