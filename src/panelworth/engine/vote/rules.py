"""A counted vote beside the rules of `[vote]`: quorum and majority.

Shares are taken as the decimals that a user wrote: 0.55 of 20 is 11, which binary numbers miss.
"""

import math
from collections.abc import Iterator
from fractions import Fraction

from panelworth.engine.results.vote import Approvals, Counts, Method, Ranking, Standing, VoteCheck
from panelworth.model.decision import Vote
from panelworth.model.scenario import Scenario


def entitled_in(scenario: Scenario) -> int | None:
    """Return how many may vote: as `[vote]` says, else all members; None if neither is stated."""
    stated = scenario.vote.entitled if scenario.vote else None
    return stated if stated is not None or scenario.club is None else scenario.club.members


def checked(tally: Approvals | Ranking, scenario: Scenario) -> VoteCheck:
    """Compare a count with the rules of a scenario.

    The quorum is met by n ballots, n ≥ quorum · entitled. Blank ones count: those members took
    part. An option has a majority with v votes, v > majority · base. The base is the ballots with
    a mark, or all entitled. (Robert's Rules of Order, section 44, from memory: a majority is more
    than half of the votes cast, blanks excluded, unless the bylaws name another base.)
    """
    rules, entitled = scenario.vote or Vote(), entitled_in(scenario)
    base = tally.ballots - tally.blank if rules.of == "cast" else entitled
    least_votes = None if base is None else math.floor(_exact(rules.majority) * base) + 1
    return VoteCheck(
        ballots=tally.ballots,
        blank=tally.blank,
        entitled=entitled,
        quorum=rules.quorum,
        least_ballots=None if entitled is None else math.ceil(_exact(rules.quorum) * entitled),
        majority=rules.majority,
        majority_of=rules.of,
        majority_base=base,
        least_votes=least_votes,
        standings=tuple(_standings(tally, least_votes)),
    )


def _standings(tally: Approvals | Ranking, least_votes: int | None) -> Iterator[Standing]:
    """Yield the options with most votes by each method that gives every option a number.

    A runoff is left out if the order in which tied options leave may decide it: then the votes in
    its last round are not known.
    """

    def standing(method: Method, options: tuple[str, ...], counts: Counts) -> Standing:
        votes = counts[options[0]]
        majority = None if least_votes is None else votes >= least_votes
        return Standing(method=method, options=options, votes=votes, majority=majority)

    if isinstance(tally, Approvals):
        yield standing("approvals", tally.winners, tally.counts)
        return
    rounds = tally.runoff.rounds
    yield standing("first places", tally.first, rounds[0].counts)
    if not tally.runoff.first_out:
        yield standing("runoff", tally.runoff.winners, rounds[-1].counts)


def _exact(share: float) -> Fraction:
    """Return a share as the decimal that was written.

    >>> _exact(0.55) * 20
    Fraction(11, 1)
    """
    return Fraction(str(share))
