"""Which inspection comes next and what is overdue, in the page's words."""

from panelworth.engine.results_airplane import Due
from panelworth.publishing.airplane import inspection_words
from panelworth.publishing.view import View


def test_the_item_that_binds_next_comes_first_and_overdue_ones_are_named(club: View) -> None:
    dues = (
        Due(name="Old", by="calendar", last_day="2026-10-31", at_hours=None),
        Due(name="Near", by="calendar", last_day="2026-11-30", at_hours=None),
        Due(name="Far", by="calendar", last_day="2028-02-29", at_hours=None),
    )
    assert inspection_words.binding(club, dues) == [
        "Overdue on November 1, 2026: “Old”.",
        "Next comes “Near”: good through November 30, 2026, 29 days left.",
    ]
    as_of = club.case.scenario.as_of
    assert inspection_words.until(as_of, dues[0]) == "overdue since October 31, 2026"
    assert inspection_words.until(as_of, dues[2]) == "1 year 3 months left"
