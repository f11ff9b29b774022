"""Charts: valid specifications, and pictures that are the same whatever was drawn before them."""

import json

import altair as alt
import pytest

from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts.axes import Chart
from panelworth.publishing.charts.rendering import rendered
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.view import View

SPECIFICATION = json.dumps(
    {
        "data": {"values": [{"x": 1, "y": 2}, {"x": 2, "y": 1}]},
        "mark": {"type": "line", "clip": True},
        "encoding": {"x": {"field": "x"}, "y": {"field": "y"}},
    }
)


def charts_of(view: View) -> list[Chart]:
    """Return every chart of a scenario's pages."""
    return [chart for page in pages_of(view) for chart in page.content.get("charts", ())]


def test_a_picture_is_the_same_whatever_was_drawn_before_it() -> None:
    """Vega numbers clip paths on and on."""
    first = rendered(SPECIFICATION)
    assert 'id="clip1"' in first
    rendered.cache_clear()
    assert rendered(SPECIFICATION) == first


def test_every_chart_of_the_demos_is_valid(club: View, owner: View) -> None:
    """By the Vega-Lite schema that altair carries; builds leave the check out."""
    for view in (club, owner):
        for chart in charts_of(view):
            alt.Chart.from_dict(json.loads(json.dumps(chart.spec)), validate=True)


def test_making_specifications_unchecked_leaves_the_library_as_it_was() -> None:
    with charts.without_validation():
        alt.Scale(type="bent")
    with pytest.raises(alt.utils.schemapi.SchemaValidationError):
        alt.Scale(type="bent")


def test_a_picture_repeats_no_words_for_screen_readers(owner: View) -> None:
    """The page has them beside it."""
    pictures = [rendered(charts.full_specification(chart)) for chart in charts_of(owner)]
    assert pictures
    for picture in pictures:
        assert "aria-label" not in picture


def test_pictures_of_one_page_share_no_name() -> None:
    svg = rendered(SPECIFICATION)
    one, other = (charts.for_page(name, svg) for name in ("one", "other"))
    assert 'id="one-clip1"' in one
    assert "url(#one-clip1)" in one
    assert "one-clip1" not in other
