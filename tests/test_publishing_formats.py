"""Numbers and dates as a person reads them."""

from collections.abc import Callable
from datetime import date
from math import inf, isfinite, nan

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from panelworth.model.value import Quantity
from panelworth.publishing.formats import (
    NONE,
    Formats,
    about,
    day,
    duration,
    fixed,
    month,
    number,
    percent,
    plotted,
    plural,
    tenths,
)
from panelworth.publishing.language import Language, using_language

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


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (1970.91, "money a year", "$1,971"),
        (-2155.54, "money", "−$2,156"),
        (8.47, "money an hour", "$8.47"),
        (99.994, "money", "$99.99"),
        (0.027, "share a year", "2.7%"),
        (31.83, "hours", "31.83"),
    ],
)
def test_a_solved_sum_has_cents_only_where_they_count(value: float, unit: str, text: str) -> None:
    assert DOLLARS.worked_out(value, unit) == text


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
        "8.25%",
        "−0.5%",
        "0%",
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


WRITERS: list[Callable[[float], str]] = [
    number,
    tenths,
    about,
    percent,
    lambda value: percent(value, 0),
    lambda value: fixed(value, 3),
    lambda value: plural(value, "week", "weeks"),
    *[
        write
        for formats in (DOLLARS, Formats(currency="INR", units="metric"))
        for write in (
            *(formats.money, formats.cents, formats.change, formats.weight, formats.arm),
            formats.fuel,
            lambda value, formats=formats: formats.measure(value, "money"),
            lambda value, formats=formats: formats.measure(value, "hours"),
        )
    ],
]


@pytest.mark.parametrize("locale", ["en_US", "de_DE", "en_IN", "ar_EG"])
@given(value=st.floats())
@example(value=1e308)
@example(value=-1.7e308)
@example(value=5e-324)
@example(value=1e15)
@example(value=999_999_999_999_999.9)
def test_any_number_is_written_and_briefly(locale: str, value: float) -> None:
    with using_language(Language(locale=locale)):
        said = [write(value) for write in WRITERS]
    assert all(said)
    assert max(map(len, said)) <= 40
    assert all(each.startswith(NONE) for each in said) or isfinite(value)


def test_what_is_no_number_is_a_dash_and_the_very_large_a_power_of_ten() -> None:
    assert [DOLLARS.change(each) for each in (nan, inf, -inf)] == [NONE] * 3
    assert [DOLLARS.money(each) for each in (1.234e20, -1e15)] == ["$1.234E20", "−$1E15"]
    assert number(9.99e14) == "999,000,000,000,000"
    assert plotted([1.005, nan, inf, -inf, None]) == [1.0, None, None, None, None]
