"""needs.toml and ballots.csv: what members want the panel to do, and how much they want it."""

from typing import Annotated, ClassVar, Literal

from pydantic import AfterValidator

from panelworth.model.names import heading_key
from panelworth.model.value import Record, declared, text_input, unique_by_name

Poll = Literal["approval", "ranking"]


def _differ_as_headings(value: tuple["Need", ...]) -> tuple["Need", ...]:
    """Check that names differ as headings of ballots, where a dash and a space are the same."""
    return unique_by_name(value, "need", heading_key)


class Need(Record):
    """One thing that members want to be able to do."""

    heading: ClassVar[str] = "Need"
    name: str = text_input("Name", "The heading of its column in ballots.csv.", min_length=1)
    functions: tuple[str, ...] = declared(
        "Functions", "names", 'What it takes, all of them; "a | b" means either.', min_length=1
    )


class Needs(Record):
    """needs.toml as a whole."""

    heading: ClassVar[str] = "Needs"
    ballots: Poll = declared(
        "Kind of marks",
        "choice",
        "Under approval an x or 1 for what is wanted; under ranking 1, then 2, 3.",
        default="approval",
    )
    needs: Annotated[tuple[Need, ...], AfterValidator(_differ_as_headings)] = declared(
        "Needs", "list", "What the panel should be able to do.", default=()
    )


class Ballot(Record):
    """One row of ballots.csv: no name, only marks. An approval is 1, a rank its number."""

    heading: ClassVar[str] = "Ballot"
    line: int = declared("Row", "count", "Where the row stands in the file.")
    marks: dict[str, int] = declared(
        "Marks", "ranks", "The marks by need; unmarked needs left out."
    )
