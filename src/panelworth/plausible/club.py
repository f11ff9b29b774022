"""Warnings about the club: its dues, its reserve, and the number of ballots."""

from collections.abc import Iterator

from panelworth.model.case import Case
from panelworth.model.club import (
    Club,
)
from panelworth.model.scenario import (
    HALF_A_CENT,
    MONTHS,
)
from panelworth.plausible import limits
from panelworth.plausible.warning import likely, plain, warning_at
from panelworth.problems import Problem

BALLOTS = "ballots.csv"


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of values of the club that contradict others."""
    club = case.scenario.club
    if club is None:
        return
    yield from _dues(case, club)
    yield from _reserve(case, club)
    yield from _ballots(case, club)


def _dues(case: Case, club: Club) -> Iterator[Problem]:
    """Warn of dues of a month that look like those of a year."""
    dues = club.dues_per_month.likely
    yearly_dues, cost = dues * MONTHS * club.members, _yearly_cost(case, club)
    if cost and yearly_dues > limits.DUES_TO_COSTS * cost:
        expected = f"the dues of one month; all costs are about {plain(cost)} a year"
        found = f"{plain(dues)}, which brings {plain(yearly_dues)} a year"
        hint = f"if {plain(dues)} is a year's, write {plain(dues / MONTHS)}"
        yield warning_at(case, "club.dues_per_month", expected, found, hint)


def _yearly_cost(case: Case, club: Club) -> float:
    """Return about the yearly cost of the airplane and the club, at today's likely prices.

    Recurring items and small jobs are left out: the threshold is far above what they add.
    """
    aircraft, insurance = case.scenario.aircraft, case.scenario.aircraft.insurance
    hourly: float = sum(aircraft.hourly_cost(likely))
    return (
        sum(line.per_year.likely for line in aircraft.fixed)
        + insurance.agreed_value.likely * insurance.hull_rate.likely
        + insurance.liability_per_year.likely
        + aircraft.repairs.per_year.likely
        + aircraft.hours_per_year.likely * hourly
        + max(0.0, -club.other_net_per_year.likely)  # a net income is no cost
    )


def _reserve(case: Case, club: Club) -> Iterator[Problem]:
    if club.reserve < club.reserve_floor - HALF_A_CENT:
        expected = f"a reserve at or above its floor of {plain(club.reserve_floor)}"
        hint = "did you swap the two? as written, the reserve is below its floor from the first day"
        yield warning_at(case, "club.reserve", expected, plain(club.reserve), hint)


def _ballots(case: Case, club: Club) -> Iterator[Problem]:
    """Warn of more ballots than members, at the first ballot too many."""
    if len(case.ballots) > club.members:
        yield Problem(
            file=BALLOTS,
            line=case.ballots[club.members].line,
            key="",
            expected=f"at most one ballot for each of {club.members} members",
            found=f"{len(case.ballots)} ballots",
            hint="look for rows that are there twice, or correct members in scenario.toml",
            severity="warning",
        )
