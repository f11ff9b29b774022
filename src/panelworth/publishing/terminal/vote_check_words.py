"""A count beside the rules of `[vote]` in sentences: turnout, quorum, majority."""

from collections.abc import Sequence

from panelworth.engine.results.vote import Method, Standing, VoteCheck
from panelworth.publishing.formats import joined, percent, plural

METHODS: dict[Method, str] = {
    "approvals": "most approvals",
    "first places": "most first places",
    "runoff": "last round of the runoff",
}
BYLAWS = "The club's bylaws, not this program, decide which count holds and what a tie means."
NOBODY_STATED = "[vote] does not state how many members are entitled to vote"


def rules_report(checks: Sequence[VoteCheck]) -> list[str]:
    """Return what the rules of the scenario say of each count, then who decides."""
    lines = [line for check in checks for line in (*_rules(check), "")]
    return [*lines, BYLAWS]


def _rules(check: VoteCheck) -> list[str]:
    standings = [_standing(standing) for standing in check.standings]
    return [_turnout(check), _quorum(check), _majority(check), *standings]


def _turnout(check: VoteCheck) -> str:
    cast = f"{plural(check.ballots, 'ballot', 'ballots')} cast"
    if check.blank:
        cast += f", {check.blank} of them blank"
    if check.entitled is None:
        return f"Turnout: {cast}; {NOBODY_STATED}."
    entitled = plural(check.entitled, "member", "members")
    return f"Turnout: {cast}; {entitled} entitled to vote; {percent(check.turnout, 1)}."


def _quorum(check: VoteCheck) -> str:
    if not check.quorum:
        return "Quorum: none is stated."
    share = f"{percent(check.quorum)} of those entitled"
    if check.least_ballots is None:
        return f"Quorum: {share}; {NOBODY_STATED}."
    needed = plural(check.least_ballots, "ballot", "ballots")
    return f"Quorum: {share}, which is {needed}; {'met' if check.quorum_met else 'not met'}."


def _majority(check: VoteCheck) -> str:
    base = "the ballots with a mark" if check.majority_of == "cast" else "those entitled"
    share = f"more than {percent(check.majority)} of {base}"
    if check.least_votes is None:
        return f"Majority: {share}; {NOBODY_STATED}."
    needed = plural(check.least_votes, "vote", "votes")
    return f"Majority: {share}, which is {needed} or more."


def _standing(standing: Standing) -> str:
    """Name the options with most votes: "- most approvals: “Refit” with 21 votes: a majority"."""
    names = joined([f"“{name}”" for name in standing.options])
    votes = plural(standing.votes, "vote", "votes")
    tie = " each, a tie" if len(standing.options) > 1 else ""
    result = {True: "a majority", False: "no majority", None: "majority unknown"}[standing.majority]
    return f"- {METHODS[standing.method]}: {names} with {votes}{tie}: {result}"
