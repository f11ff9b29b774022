"""Files of votes as people type them, and the messages where one does not add up."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from panelworth.__main__ import main
from panelworth.problems import render
from panelworth.reading.vote import read_votes

SCENARIOS = Path(__file__).parents[1] / "scenarios"


def told(folder: Path, *texts: str, kind: str | None = None) -> list[str]:
    """Read texts as files of votes; return what is said of them, without the folder's path."""
    paths = []
    for number, text in enumerate(texts, start=1):
        paths.append(folder / f"vote-{number}.csv")
        paths[-1].write_text(text)
    _, problems = read_votes(paths, kind)
    return [render(problem).removeprefix(f"{folder}/") for problem in problems]


def run(*words: str | Path) -> Result:
    """Run panelworth as from a shell."""
    return CliRunner().invoke(main, [str(word) for word in words], env={"COLUMNS": "200"})


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Keep it,Refit it\nx,\n,x\n", "approval"),
        ("Keep it;Refit it\nyes;no\n", "approval"),
        ("Keep it,Refit it\n1,1\n,1\n", "approval"),
        ("Keep it,Refit it\n1,2\n2,1\n", "ranking"),
        ("Keep it\tRefit it\n2\t1\n-\t-\n", "ranking"),
    ],
)
def test_the_marks_tell_approvals_from_ranks(tmp_path: Path, text: str, kind: str) -> None:
    path = tmp_path / "vote.csv"
    path.write_text(text)
    votes, problems = read_votes([path], None)
    assert problems == []
    assert [vote.kind for vote in votes] == [kind]
    assert votes[0].options == ("Keep it", "Refit it")


def test_marks_that_may_be_either_are_asked_about(tmp_path: Path) -> None:
    text = "A,B\n1,\n,1\n"
    assert told(tmp_path, text) == [
        (
            "vote-1.csv: error: --kind: expected marks that tell approvals from ranks, found no "
            "more than a 1 on each ballot; use --kind approval or --kind ranking"
        )
    ]
    assert told(tmp_path, text, kind="ranking") == []


def test_a_ballot_of_dashes_is_a_blank_one(tmp_path: Path) -> None:
    path = tmp_path / "vote.csv"
    path.write_text("A,B\n-,-\n1,2\n,\n")
    [vote], _ = read_votes([path], None)
    assert vote.ballots == ({}, {"A": 1, "B": 2})


def test_every_bad_cell_is_named(tmp_path: Path) -> None:
    hint = "remove the column if it is no option, or use --kind approval"
    assert told(tmp_path, "A,B\n1,2\nfirst,2\n1,2.5,3\n") == [
        (
            f'vote-1.csv:3: error: A: expected a rank (1, 2, 3 …) or an empty cell, found "first"; '
            f"{hint}"
        ),
        (
            "vote-1.csv:4: error: expected as many cells as the first row, found more: "
            '"3"; put text with commas in quotation marks'
        ),
        (
            f'vote-1.csv:4: error: B: expected a rank (1, 2, 3 …) or an empty cell, found "2.5"; '
            f"{hint}"
        ),
    ]


@pytest.mark.parametrize("cell", ["²", "٣", "1.5", "-1", "01", "1000", "9" * 5000])
def test_what_is_no_plain_rank_is_named_and_never_counted(tmp_path: Path, cell: str) -> None:
    said = told(tmp_path, f"A,B\n1,2\n{cell},1\n")
    assert len(said) == 1
    assert said[0].startswith("vote-1.csv:3: error: A: expected a rank (1, 2, 3 …)")


def test_a_column_of_names_or_twice_the_same_option_is_refused(tmp_path: Path) -> None:
    assert told(tmp_path, "Name,A,a\nAnn,1,2\n") == [
        (
            'vote-1.csv:1: error: Name: expected the name of an option, found "Name"; remove '
            "the column: ballots carry no names and no numbers"
        ),
        "vote-1.csv:1: error: A: expected one column for each option, found 2; merge them",
    ]


def test_a_file_without_options_or_ballots_is_refused(tmp_path: Path) -> None:
    assert told(tmp_path, "A\n") == [
        (
            "vote-1.csv:1: error: expected one column for each option, 2 to 12 of them, found 1; "
            "name the options in the first row"
        ),
        "vote-1.csv:1: error: expected a row for each ballot below the first, found none",
    ]


def test_equal_ranks_and_gaps_are_counted_and_warned_of(tmp_path: Path) -> None:
    assert told(tmp_path, "A,B,C\n1,1,2\n1,3,\n1,2,3\n") == [
        (
            "vote-1.csv:2: warning: expected each rank once, found 1, 1, 2; still counted: "
            "neither is above the other, and a runoff counts the ballot for none of them while "
            "they share its first place"
        ),
        (
            "vote-1.csv:3: warning: expected ranks from 1 without a gap, found 1, 3; still "
            "counted: only the order matters"
        ),
    ]


def test_problems_of_two_files_are_told_together(tmp_path: Path) -> None:
    assert told(tmp_path, "A,B\n1,2\nx,1\n", "A,B\n") == [
        (
            'vote-1.csv:3: error: A: expected a rank (1, 2, 3 …) or an empty cell, found "x"; '
            "remove the column if it is no option, or use --kind approval"
        ),
        "vote-2.csv:1: error: expected a row for each ballot below the first, found none",
    ]


def test_two_files_are_of_two_kinds_on_the_same_options(tmp_path: Path) -> None:
    assert told(tmp_path, "A,B\n1,2\n", "A,C\n2,1\n") == [
        (
            "vote-2.csv: error: expected one file of approvals and one of ranks, found two of "
            "ranks; put all ballots of one kind into one file"
        ),
        (
            'vote-2.csv: error: expected the options "A" or "B", found "A" or "C"; write the '
            "options alike in both files"
        ),
    ]
    assert told(tmp_path, "A,B\n1,2\n", "B,A\nx,\n") == []


def test_tally_is_not_to_be_mixed_up_with_a_scenario_s_needs() -> None:
    result = run("tally", SCENARIOS / "quillmeadow-club" / "ballots.csv")
    assert result.exit_code == 1
    assert (
        "expected a vote on the options, one column for each option, found a scenario's "
        "ballots.csv, which says how much members want each need"
    ) in result.stderr


def test_tally_says_round_by_round_who_leaves_and_which_counts_agree(tmp_path: Path) -> None:
    """The Tennessee example once more; see test_engine_tally.py for where it is from."""
    ranks, crosses = tmp_path / "ranks.csv", tmp_path / "crosses.csv"
    orders = {"1,2,3,4": 42, "4,1,2,3": 26, "4,3,1,2": 15, "4,3,2,1": 17}
    head = "Memphis,Nashville,Chattanooga,Knoxville\n"
    rows = [row for row, count in orders.items() for _ in range(count)]
    ranks.write_text(head + "\n".join(rows))
    near = str.maketrans({"1": "x", "2": "x", "3": "", "4": ""})
    crosses.write_text(head + "\n".join(row.translate(near) for row in rows))
    result = run("tally", ranks, crosses)
    assert result.exit_code == 0, result.output
    assert "Round 2: “Nashville” has fewest and leaves." in result.stdout
    assert "Round 3: “Knoxville” has 58 of 100 ballots in play, a majority." in result.stdout
    assert result.stdout.splitlines()[-6:] == [
        "The counts do not all name the same single option.",
        "- most first places: “Memphis”",
        "- instant runoff: “Knoxville”",
        "- beats every other option (Condorcet): “Nashville”",
        "- most approvals: “Nashville”",
        (
            "Which count decides is a matter of the club's own rules, best settled before anything "
            "is counted; nothing here prefers one."
        ),
    ]


def test_tally_names_ties_and_circles(tmp_path: Path) -> None:
    path = tmp_path / "vote.csv"
    path.write_text("A,B,C\n1,2,3\n3,1,2\n2,3,1\n")
    said = run("tally", path).stdout
    assert "Round 1: a tie of “A”, “B”, and “C”. The runoff names no single option." in said
    assert (
        "They beat each other in a circle: “A” beats “B” 2 to 1; “B” beats “C” 2 to 1; "
        "“C” beats “A” 2 to 1."
    ) in said
    path.write_text("A,B,C\n" + "1,,\n" * 4 + ",1,2\n" * 3 + ",2,1\n" * 3)
    said = run("tally", path).stdout
    assert (
        "Round 1: “B” and “C” tie for last, and who leaves first may decide. Every order was "
        "followed:\n- with “B” out first: “C”\n- with “C” out first: “B”\n"
        "“B” or “C” could win. The runoff names no single option."
    ) in said
    assert (
        "- instant runoff: “B” and “C” (each can win: who of those tied for last leaves first "
        "decides)"
    ) in said
    path.write_text("A,B,C\n" + "1,,\n" * 5 + ",1,2\n" * 2 + ",2,1\n" * 2)
    said = run("tally", path).stdout
    assert "Round 1: “A” has 5 of 9 ballots in play, a majority." in said
    path.write_text("A,B,C,D\n" + "1,,,\n" * 5 + ",1,,2\n" * 4 + ",,1,\n,,,1\n")
    said = run("tally", path).stdout
    assert (
        "Round 1: “C” and “D” tie for last and leave together: even with all their ballots none of "
        "them could pass the next."
    ) in said


def test_tally_names_one_winner_where_every_order_ends_alike(tmp_path: Path) -> None:
    """Two tie for last, and out together another would win; see test_engine_tally.py."""
    rows = {"ACBED": 5, "ADECB": 5, "BEDAC": 8, "CABED": 3, "CAEBD": 7, "CBADE": 2, "DCEBA": 7}
    path = tmp_path / "vote.csv"
    lines = [
        ",".join(str(order.index(name) + 1) for name in "ABCDE")
        for order, count in {**rows, "EBADC": 8}.items()
        for _ in range(count)
    ]
    path.write_text("\n".join(["A,B,C,D,E", *lines]))
    said = run("tally", path).stdout
    assert "In whatever order they leave, “C” wins." in said
    assert "- instant runoff: “C” (whoever of those tied for last leaves first)" in said


def test_tally_says_so_when_all_counts_agree(tmp_path: Path) -> None:
    path = tmp_path / "vote.csv"
    path.write_text("A [b],B\n1,2\n1,2\n2,1\n")
    assert "All counts come out for “A [b]”." in run("tally", path).stdout
