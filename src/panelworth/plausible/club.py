"""Warnings about the club: its dues, its reserve, and the number of ballots."""

from collections.abc import Iterator

from panelworth.model.case import Case
from panelworth.model.scenario import HALF_A_CENT, MONTHS, Club
from panelworth.plausible import limits
from panelworth.plausible.asking import ask, likely, plain
from panelworth.problems import Problem

BALLOTS = "ballots.csv"


def questions(case: Case) -> Iterator[Problem]:
    """Warn of figures of the club that contradict others."""
    club = case.scenario.club
    if club is None:
        return
    yield from _dues(case, club)
    yield from _reserve(case, club)
    yield from _ballots(case, club)


def _dues(case: Case, club: Club) -> Iterator[Problem]:
    dues = club.dues_per_month.likely
    brought, cost = dues * MONTHS * club.members, _yearly_cost(case, club)
    if cost and brought > limits.DUES_TO_COSTS * cost:
        expected = f"the dues of one month; all costs are about {plain(cost)} a year"
        found = f"{plain(dues)}, which brings {plain(brought)} a year"
        hint = f"if {plain(dues)} is a year's, write {plain(dues / MONTHS)}"
        yield ask(case, "club.dues_per_month", expected, found, hint)


def _yearly_cost(case: Case, club: Club) -> float:
    """Return roughly the yearly cost of the airplane and the club, at today's likely prices."""
    aircraft, insured = case.scenario.aircraft, case.scenario.aircraft.insurance
    hourly: float = sum(aircraft.hourly_cost(likely))
    return (
        sum(line.per_year.likely for line in aircraft.fixed)
        + insured.agreed_value.likely * insured.hull_rate.likely
        + insured.liability_per_year.likely
        + aircraft.repairs.per_year.likely
        + aircraft.hours_per_year.likely * hourly
        + max(0.0, -club.other_net_per_year.likely)
    )


def _reserve(case: Case, club: Club) -> Iterator[Problem]:
    if club.reserve < club.reserve_floor - HALF_A_CENT:
        expected = f"a reserve at or above its floor of {plain(club.reserve_floor)}"
        hint = "did you swap the two? as written, the reserve is below its floor from the first day"
        yield ask(case, "club.reserve", expected, plain(club.reserve), hint)


def _ballots(case: Case, club: Club) -> Iterator[Problem]:
    if len(case.ballots) > club.members:
        over = case.ballots[club.members]
        yield Problem(
            file=BALLOTS,
            line=over.line,
            key="",
            expected=f"at most one ballot for each of {club.members} members",
            found=f"{len(case.ballots)} ballots",
            hint="look for rows that are there twice, or correct members in scenario.toml",
            severity="warning",
        )
