"""Quorum and majority of a count: worked examples, and values by head."""

from datetime import date

import pytest

from panelworth.engine.results.vote import VoteCheck
from panelworth.engine.vote.rules import checked
from panelworth.engine.vote.tally import approvals, ranking
from panelworth.model.decision import Vote as Rules
from panelworth.model.scenario import Scenario
from panelworth.model.vote import Vote
from test_engine_tally import TENNESSEE, ranked, tennessee


def scenario(rules: Rules | None = None, members: int | None = 20) -> Scenario:
    """Return a scenario with these rules; without members it is an owner's."""
    club = {"members": members, "dues_per_month": 0, "reserve": 0} if members else None
    return Scenario.model_validate(
        {
            "title": "A panel",
            "as_of": date(2026, 1, 1),
            "currency": "USD",
            "baseline": "keep",
            "years": 2,
            "aircraft": {"label": "A", "hours_per_year": 100},
            "club": club,
            "vote": rules.model_dump() if rules else None,
        }
    )


def crosses(*counts: int, blank: int = 0) -> Vote:
    """Return ballots with one cross each: so many for A, then B."""
    names = tuple("ABCDE"[: len(counts)])
    marks = [{name: 1} for name, count in zip(names, counts, strict=True) for _ in range(count)]
    return Vote(kind="approval", options=names, ballots=(*marks, *[{}] * blank))


def check(vote: Vote, rules: Rules | None = None, members: int | None = 20) -> VoteCheck:
    """Compare the approvals of a vote with the rules."""
    return checked(approvals(vote), scenario(rules, members))


@pytest.mark.parametrize(
    ("cast", "majority", "two_thirds"),
    [(19, 10, 13), (20, 11, 14), (21, 11, 14), (30, 16, 20), (31, 16, 21), (32, 17, 22)],
)
def test_a_majority_is_the_next_whole_number(cast: int, majority: int, two_thirds: int) -> None:
    """Robert's Rules of Order, 44:1 and 44:3 (19 to 21, 30 to 32 votes), from memory."""
    assert check(crosses(cast), Rules(), 100).least_votes == majority
    assert check(crosses(cast), Rules(majority=0.6666), 100).least_votes == two_thirds


def test_half_of_the_votes_are_no_majority() -> None:
    found = check(crosses(10, 10))
    [standing] = found.standings
    assert (standing.options, standing.votes, standing.majority) == (("A", "B"), 10, False)
    [standing] = check(crosses(11, 9)).standings
    assert (standing.options, standing.votes, standing.majority) == (("A",), 11, True)


@pytest.mark.parametrize(
    ("quorum", "entitled", "least"),
    [(0.0, 20, 0), (0.5, 20, 10), (0.5, 21, 11), (0.55, 20, 11), (0.7, 10, 7), (1.0, 7, 7)],
)
def test_a_quorum_is_met_by_the_share_itself(quorum: float, entitled: int, least: int) -> None:
    """By head. In binary numbers 0.55 times 20 is more than 11."""
    rules = Rules(quorum=quorum, entitled=entitled)
    assert check(crosses(1), rules).least_ballots == least
    if least:
        assert check(crosses(least), rules).quorum_met is True
        assert check(crosses(least - 1, 0), rules).quorum_met is False


def test_blank_ballots_count_for_the_quorum_and_not_for_the_majority() -> None:
    found = check(crosses(5, 4, blank=3), Rules(quorum=0.6))
    assert (found.ballots, found.blank, found.turnout) == (12, 3, 0.6)
    assert found.quorum_met is True
    assert (found.majority_base, found.least_votes) == (9, 5)
    assert found.standings[0].majority is True


def test_a_majority_of_those_entitled_needs_more() -> None:
    found = check(crosses(10, 2), Rules(of="entitled"))
    assert (found.majority_base, found.least_votes) == (20, 11)
    assert found.standings[0].majority is False


def test_all_members_are_entitled_unless_the_rules_say_otherwise() -> None:
    assert check(crosses(1)).entitled == 20
    assert check(crosses(1), Rules(entitled=7)).entitled == 7


def test_without_members_turnout_and_quorum_are_unknown() -> None:
    found = check(crosses(2, 1), Rules(quorum=0.5, of="entitled"), None)
    assert (found.entitled, found.turnout, found.quorum_met) == (None, None, None)
    assert (found.least_votes, found.standings[0].majority) == (None, None)


def test_ranks_have_first_places_and_the_last_round() -> None:
    """Tennessee: Memphis has 42 first places of 100, Knoxville 58 ballots in the last round."""
    found = checked(ranking(tennessee(TENNESSEE)), scenario(members=120))
    assert [(each.method, each.options, each.votes, each.majority) for each in found.standings] == [
        ("first places", ("Memphis",), 42, False),
        ("runoff", ("Knoxville",), 58, True),
    ]


def test_a_runoff_whose_last_round_is_not_known_has_no_votes() -> None:
    found = checked(ranking(ranked((1, "A"), (1, "B"))), scenario())
    assert [each.method for each in found.standings] == ["first places"]


def test_ballots_that_leave_a_runoff_stay_in_the_majority_s_base() -> None:
    """By head: C leaves with its 2 ballots, A has 4 of 9, less than the 5 that it takes."""
    found = checked(ranking(ranked((4, "A"), (3, "B"), (2, "C"))), scenario())
    runoff = found.standings[1]
    assert (runoff.options, runoff.votes, runoff.majority) == (("A",), 4, False)
    assert found.least_votes == 5
