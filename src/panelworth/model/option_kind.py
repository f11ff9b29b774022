"""The meaning of an option's kind. No other module compares kinds.

Other code asks one of these questions. So a new kind, or a kind with another meaning, changes
this module only.
"""

from typing import TYPE_CHECKING, Literal

OptionKind = Literal["keep", "retrofit", "replace"]


class KindRules:
    """The questions about a kind; an option inherits them."""

    if TYPE_CHECKING:  # pydantic would make these annotations fields, and put them first
        kind: OptionKind
        jobs: tuple[str, ...]

    @property
    def is_status_quo(self) -> bool:
        """Whether it is what happens if nothing is decided: the natural baseline."""
        return self.kind == "keep"

    @property
    def opens_panel(self) -> bool:
        """Whether the panel is opened: by a refit, and to do any of the small jobs."""
        return self.kind == "retrofit" or bool(self.jobs)

    @property
    def replaces_airplane(self) -> bool:
        """Whether today's airplane is sold, and another one may be bought.

        The other one has its own value, equipment and recurring items.
        """
        return self.kind == "replace"

    @property
    def no_airplane_while_down(self) -> bool:
        """Whether there is no airplane from the start to the finish.

        Otherwise today's airplane stands in a workshop, and what is due each month goes on.
        """
        return self.kind == "replace"

    @property
    def drops_jobs(self) -> bool:
        """Whether the small jobs are gone with the airplane that they belong to."""
        return self.kind == "replace"

    def is_of_same_kind_as(self, other: "KindRules") -> bool:
        """Whether both are of one kind; otherwise they have too little in common to compare."""
        return self.kind == other.kind
