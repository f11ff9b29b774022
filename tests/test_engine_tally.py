"""Counting a vote: worked examples of the literature, and laws that hold whatever is voted."""

import itertools
import time
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import law
from panelworth.engine.vote.tally import approvals, pairwise_counts, ranking, runoff, smith_set
from panelworth.model.vote import Vote

CITIES = ("Memphis", "Nashville", "Chattanooga", "Knoxville")
# Where voters live, and how far each city is from there: the "Tennessee example" of voting
# theory, as electowiki has it under "Effects of different voting systems under similar
# circumstances".
TENNESSEE = {
    ("Memphis", "Nashville", "Chattanooga", "Knoxville"): 42,
    ("Nashville", "Chattanooga", "Knoxville", "Memphis"): 26,
    ("Chattanooga", "Knoxville", "Nashville", "Memphis"): 15,
    ("Knoxville", "Chattanooga", "Nashville", "Memphis"): 17,
}


def ranked(*groups: tuple[int, str], options: tuple[str, ...] = ("A", "B", "C")) -> Vote:
    """Make ranked ballots from counts and orders such as "A>B=C"."""
    ballots = []
    for count, order in groups:
        tiers = [tier.split("=") for tier in order.split(">") if tier]
        marks = {name: rank for rank, tier in enumerate(tiers, start=1) for name in tier}
        ballots += [marks] * count
    return Vote(kind="ranking", options=options, ballots=tuple(ballots))


def tennessee(counts: dict[tuple[str, ...], int]) -> Vote:
    """Make the ballots of the Tennessee example."""
    groups = [(count, ">".join(order)) for order, count in counts.items()]
    return ranked(*groups, options=CITIES)


def test_the_tennessee_runoff_ends_in_knoxville() -> None:
    """Rounds as in the published example: Chattanooga leaves, Nashville, Knoxville has 58 %."""
    found = runoff(tennessee(TENNESSEE))
    assert [dict(each.counts) for each in found.rounds] == [
        {"Memphis": 42, "Nashville": 26, "Chattanooga": 15, "Knoxville": 17},
        {"Memphis": 42, "Nashville": 26, "Knoxville": 32},
        {"Memphis": 42, "Knoxville": 58},
    ]
    assert [each.leaves for each in found.rounds] == [("Chattanooga",), ("Nashville",), ()]
    assert found.winners == ("Knoxville",)
    assert found.first_out == {}


def test_the_tennessee_duels_are_won_by_nashville() -> None:
    """The pairs as liquisearch and Wikipedia ("Condorcet method") print them."""
    found = pairwise_counts(tennessee(TENNESSEE))
    assert found.winner == "Nashville"
    assert found.smith == ("Nashville",)
    assert [found.over[a][b] for a, b in itertools.pairwise(CITIES)] == [42, 68, 83]
    assert found.over["Memphis"] == {"Nashville": 42, "Chattanooga": 42, "Knoxville": 42}
    assert found.over["Nashville"]["Knoxville"] == 68


def test_tennessee_has_most_first_places_for_memphis() -> None:
    assert ranking(tennessee(TENNESSEE)).first == ("Memphis",)


def test_the_tennessee_example_changed_to_a_tie_ends_in_that_tie() -> None:
    """The electorama "TNexampleTie" election: 42 to 42 between Memphis and Knoxville."""
    counts = dict(zip(TENNESSEE, (42, 20, 10, 12), strict=True))
    found = runoff(tennessee(counts))
    assert found.winners == ("Memphis", "Knoxville")
    assert found.rounds[-1].counts == {"Memphis": 42, "Knoxville": 42}


def test_approving_the_two_nearest_cities_makes_it_nashville() -> None:
    """As Wikipedia ("Approval voting") has it for the same voters; from memory."""
    ballots = [
        dict.fromkeys(order[:2], 1) for order, count in TENNESSEE.items() for _ in range(count)
    ]
    found = approvals(Vote(kind="approval", options=CITIES, ballots=tuple(ballots)))
    assert found.counts == {"Memphis": 42, "Nashville": 68, "Chattanooga": 58, "Knoxville": 32}
    assert found.winners == ("Nashville",)


def test_the_condorcet_paradox_has_a_circle_and_no_winner() -> None:
    """The three voters of electowiki's "Condorcet paradox": A>B>C, B>C>A, C>A>B."""
    vote = ranked((1, "A>B>C"), (1, "B>C>A"), (1, "C>A>B"))
    found = pairwise_counts(vote)
    assert found.winner is None
    assert found.smith == ("A", "B", "C")
    assert [found.over[a][b] for a, b in ("AB", "BC", "CA")] == [2, 2, 2]
    assert runoff(vote).winners == ("A", "B", "C")


def test_who_loses_to_all_of_a_circle_is_not_in_the_smith_set() -> None:
    vote = ranked((1, "A>B>C>D"), (1, "B>C>A>D"), (1, "C>A>B>D"), options=("A", "B", "C", "D"))
    assert pairwise_counts(vote).smith == ("A", "B", "C")


def test_options_that_tie_one_against_one_share_the_smith_set() -> None:
    vote = ranked((1, "A>B>C"), (1, "B>A>C"))
    assert pairwise_counts(vote).winner is None
    assert pairwise_counts(vote).smith == ("A", "B")


def test_where_the_order_of_those_tied_for_last_decides_all_who_could_win_are_named() -> None:
    """Worked by hand: with B out first C has 3 + 3 of 10, with C out first B has; A has 4."""
    found = runoff(ranked((4, "A"), (3, "B>C"), (3, "C>B")))
    assert [each.leaves for each in found.rounds] == [()]
    assert found.first_out == {"B": ("C",), "C": ("B",)}
    assert found.winners == ("B", "C")


def test_options_tied_for_last_leave_together_where_they_could_not_pass_the_next() -> None:
    """Worked by hand: B and C have 2 + 2 of 14, less than the 5 of D; then D has 9 of 14."""
    found = runoff(ranked((5, "A"), (2, "B>D"), (2, "C>D"), (5, "D"), options=("A", "B", "C", "D")))
    assert [each.leaves for each in found.rounds] == [("B", "C"), ()]
    assert found.winners == ("D",)


def test_ballots_that_share_a_top_rank_may_lift_one_of_those_tied_for_last() -> None:
    """Worked by hand: B and C have 1 + 1, D 4; but 3 ballots wait for B or C to leave.

    With B out first C has 1 + 1 + 3 and passes D, which leaves: C has 9 of 14. With C out first B
    has 5, D leaves too, and B has 5 of 14 against A's 5 and 4 more.
    """
    groups = (5, "A"), (1, "B>C"), (1, "C>B"), (3, "B=C"), (4, "D>C")
    found = runoff(ranked(*groups, options=("A", "B", "C", "D")))
    assert set(found.first_out) == {"B", "C"}
    assert set(found.winners) == by_every_order(ranked(*groups, options=("A", "B", "C", "D")))


TWO_TIED = "5 ACBED, 5 ADECB, 8 BEDAC, 3 CABED, 7 CAEBD, 2 CBADE, 7 DCEBA, 8 EBADC"


def test_no_option_wins_that_no_order_of_leaving_lets_win() -> None:
    """Out together, the two tied for last would make A win; with either out first C does."""
    groups = [each.split() for each in TWO_TIED.split(", ")]
    vote = ranked(*((int(n), ">".join(order)) for n, order in groups), options=OPTIONS)
    found = runoff(vote)
    assert found.winners == ("C",)
    assert set(found.first_out.values()) == {("C",)}
    assert by_every_order(vote) == {"C"}


def by_every_order(vote: Vote) -> set[str]:
    """Return who wins in any order of leaving, one option at a time: the definition, unshortened.

    Written apart from the engine, on lists of ballots.
    """
    won = set[str]()

    def follow(left: list[str]) -> None:
        count = dict.fromkeys(left, 0)
        in_play = 0
        for marks in vote.ballots:
            ranks = {name: marks[name] for name in left if name in marks}
            in_play += bool(ranks)
            top = [name for name in ranks if ranks[name] == min(ranks.values())]
            if len(top) == 1:
                count[top[0]] += 1
        leader = max(left, key=lambda name: count[name])
        if len(left) == 1 or count[leader] > in_play / 2:
            won.add(leader)
            return
        for name in left:
            if count[name] == min(count.values()):
                follow([each for each in left if each != name])

    follow(list(vote.options))
    return won


def test_a_ballot_without_a_rank_left_is_exhausted_and_no_part_of_the_majority() -> None:
    found = runoff(ranked((4, "A"), (3, "B"), (2, "C")))
    assert [each.exhausted for each in found.rounds] == [0, 2]
    assert found.winners == ("A",)
    assert found.rounds[-1].counts == {"A": 4, "B": 3}


def test_a_shared_top_counts_for_none_until_one_of_them_leaves() -> None:
    """Worked by hand: 4 of 12 is no majority while 5 ballots wait for B or C to leave."""
    found = runoff(ranked((4, "A"), (3, "B"), (5, "B=C>A")))
    assert [each.shared for each in found.rounds] == [5, 0]
    assert found.rounds[0].leaves == ("C",)
    assert found.rounds[1].counts == {"A": 4, "B": 8}
    assert found.winners == ("B",)


def test_blank_ballots_alone_name_nobody() -> None:
    blank = Vote(kind="ranking", options=("A", "B"), ballots=({}, {}))
    found = ranking(blank)
    assert found.blank == 2
    assert found.runoff.winners == ("A", "B")
    assert found.pairwise.winner is None


OPTIONS = ("A", "B", "C", "D", "E")
MARKS = st.dictionaries(st.sampled_from(OPTIONS), st.integers(1, 5))
TWELVE = tuple("ABCDEFGHIJKL")
TIED_VOTES = st.lists(st.permutations(OPTIONS), min_size=2, max_size=8).map(
    lambda orders: Vote(
        kind="ranking",
        options=OPTIONS,
        ballots=tuple({name: at + 1 for at, name in enumerate(order)} for order in orders),
    )
)
VOTES = st.lists(MARKS, max_size=12).map(
    lambda ballots: Vote(kind="ranking", options=OPTIONS, ballots=tuple(ballots))
)


@given(VOTES)
def test_a_pair_s_counts_and_the_ballots_that_stand_equal_add_up(vote: Vote) -> None:
    """Ballots for one, for the other and for neither are all ballots."""
    over = pairwise_counts(vote).over
    for a in OPTIONS:
        for b in set(OPTIONS) - {a}:
            equal = sum(marks.get(a, 99) == marks.get(b, 99) for marks in vote.ballots)
            assert over[a][b] + over[b][a] + equal == len(vote.ballots)


@given(VOTES)
def test_every_ballot_of_every_round_is_counted_once(vote: Vote) -> None:
    for each in runoff(vote).rounds:
        assert sum(each.counts.values()) + each.shared + each.exhausted == len(vote.ballots)


@given(VOTES, st.sampled_from(OPTIONS))
def test_who_is_first_on_most_ballots_wins_every_count(vote: Vote, favourite: str) -> None:
    """The majority criterion holds for the runoff and for the Condorcet winner."""
    first = {**dict.fromkeys(OPTIONS, 9), favourite: 1}
    ballots = (*vote.ballots, *[first] * (len(vote.ballots) + 1))
    found = ranking(Vote(kind="ranking", options=OPTIONS, ballots=ballots))
    assert found.runoff.winners == (favourite,)
    assert found.pairwise.winner == favourite
    assert found.first == (favourite,)


@given(VOTES, st.randoms(use_true_random=False))
def test_the_order_of_ballots_changes_nothing(vote: Vote, chance: object) -> None:
    ballots = list(vote.ballots)
    chance.shuffle(ballots)  # type: ignore[attr-defined]
    again = Vote(kind="ranking", options=OPTIONS, ballots=tuple(ballots))
    assert ranking(again) == ranking(vote)


@given(VOTES, st.permutations(OPTIONS))
def test_other_names_change_nothing_but_names(vote: Vote, names: list[str]) -> None:
    """Names change places too, so that no option gains from where it stands."""
    new = dict(zip(OPTIONS, names, strict=True))
    ballots = tuple({new[name]: rank for name, rank in marks.items()} for marks in vote.ballots)
    one, other = ranking(vote), ranking(Vote(kind="ranking", options=OPTIONS, ballots=ballots))
    assert {new[name] for name in one.runoff.winners} == set(other.runoff.winners)
    assert {new[name] for name in one.pairwise.smith} == set(other.pairwise.smith)
    counts = {new[name]: count for name, count in one.runoff.rounds[0].counts.items()}
    assert counts == other.runoff.rounds[0].counts


@given(VOTES)
def test_the_smith_set_beats_all_outside_and_no_smaller_set_does(vote: Vote) -> None:
    """Against the definition: every set of options is tried."""
    over = pairwise_counts(vote).over

    def dominates(inside: set[str]) -> bool:
        return all(over[a][b] > over[b][a] for a in inside for b in set(OPTIONS) - inside)

    sets = [
        {name for place, name in enumerate(OPTIONS) if number >> place & 1}
        for number in range(1, 2 ** len(OPTIONS))
    ]
    smallest = min((each for each in sets if dominates(each)), key=len)
    assert set(smith_set(over)) == smallest


@law(400)
@given(VOTES | TIED_VOTES)
def test_the_winners_are_those_of_every_order_of_leaving(vote: Vote) -> None:
    """Against the definition, every order followed to its end; in any of them those alone win."""
    found = runoff(vote)
    assert set(found.winners) == by_every_order(vote)
    for out, winners in found.first_out.items():
        left = tuple(each for each in OPTIONS if each != out and each in found.rounds[-1].counts)
        assert set(winners) == by_every_order(replace(vote, options=left))


def rotations(options: tuple[str, ...]) -> list[dict[str, int]]:
    """Make ballots under which all options stand alike: each order begins one later."""
    count = len(options)
    return [
        {name: (place - first) % count + 1 for place, name in enumerate(options)}
        for first in range(count)
    ]


@pytest.mark.parametrize("ballots", [[{}], rotations(TWELVE), rotations(TWELVE)[::-1] * 60])
def test_twelve_options_that_all_tie_are_counted_at_once(ballots: list[dict[str, int]]) -> None:
    """At most 4096 sets of options are looked at, not the 479 million orders of twelve."""
    vote = Vote(kind="ranking", options=TWELVE, ballots=tuple(ballots))
    started = time.perf_counter()
    assert runoff(vote).winners == TWELVE
    assert time.perf_counter() - started < 2.0


@given(st.lists(st.sets(st.sampled_from(OPTIONS)), max_size=12))
def test_approvals_are_counted_once_a_ballot(approved: list[set[str]]) -> None:
    ballots = tuple(dict.fromkeys(sorted(each), 1) for each in approved)
    found = approvals(Vote(kind="approval", options=OPTIONS, ballots=ballots))
    marks = Counter(name for each in approved for name in each)
    assert found.counts == {name: marks[name] for name in OPTIONS}
    assert found.blank == approved.count(set())
