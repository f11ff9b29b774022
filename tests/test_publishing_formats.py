"""Numbers and dates as a person reads them."""

from datetime import date

import pytest

from panelworth.model.value import Quantity
from panelworth.publishing.formats import Formats, about, day, duration, month, percent, plural

DOLLARS = Formats(currency="USD", units="us")


@pytest.mark.parametrize(
    ("amount", "text"),
    [(31400, "$31,400"), (-0.4, "$0"), (-4697.2, "−$4,697"), (None, "—"), (0.5, "$0")],
)
def test_money_is_whole_and_never_minus_nothing(amount: float | None, text: str) -> None:
    assert DOLLARS.money(amount) == text


def test_a_difference_carries_its_sign_but_nothing_carries_none() -> None:
    assert [DOLLARS.change(each) for each in (9323, -4697, 0.2)] == ["+$9,323", "−$4,697", "$0"]


def test_another_currency_is_written_with_its_own_sign() -> None:
    assert Formats(currency="EUR", units="metric").cents(-9.516) == "−€9.52"


def test_a_range_is_written_behind_its_likely_value() -> None:
    hours = Quantity(low=4, likely=20.5, high=42)
    assert DOLLARS.quantity(hours, "hours a year") == "20.5 (4 to 42)"
    assert DOLLARS.quantity(Quantity(low=5, likely=5, high=5), "money") == "$5"


def test_units_follow_the_scenario() -> None:
    assert DOLLARS.unit("fuel an hour") == "gal an hour"
    assert DOLLARS.unit("weights") == "weights"
    assert Formats(currency="EUR", units="metric").unit("money a unit of fuel") == "EUR a L"


def test_months_are_told_in_years_and_months() -> None:
    told = [duration(each) for each in (None, 0, 1, 13, 24)]
    assert told == ["never", "at once", "1 month", "1 year 1 month", "2 years"]


def test_counts_agree_with_their_nouns() -> None:
    assert [plural(each, "week", "weeks") for each in (1, 0.98, 1.5, 3)] == [
        "1 week",
        "1 week",
        "1.5 weeks",
        "3 weeks",
    ]
    assert about(-0.01) == "0"


def test_shares_are_percentages() -> None:
    assert [percent(each) for each in (0.0825, -0.005, 0.0, None)] == [
        "8.25 %",
        "−0.5 %",
        "0 %",
        "—",
    ]


def test_days_and_months_are_written_out() -> None:
    assert day("2027-01-18") == "January 18, 2027"
    assert month(date(2026, 11, 20), 2) == "January 2027"


def test_what_floating_point_leaves_turns_no_half_cent() -> None:
    """182.335 and 486.2266…·12/32, which is the same sum, are written alike: to the even cent."""
    by_way_of_a_month = (74.0 + 9.56 + 32 / 12 * 151.0) * 12 / 32
    assert DOLLARS.cents(182.335) == DOLLARS.cents(by_way_of_a_month) == "$182.34"
    assert DOLLARS.cents(182.345) == "$182.34"
