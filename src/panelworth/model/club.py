"""[club] of scenario.toml: members, dues, reserve, and kinds of member to show a bill for."""

from typing import Annotated, ClassVar

from pydantic import AfterValidator

from panelworth.model.bounds import LARGEST
from panelworth.model.value import (
    Quantity,
    Record,
    amount,
    declared,
    share,
    text_input,
    unique_by_name,
)


class Profile(Record):
    """A kind of member, to show a bill for."""

    heading: ClassVar[str] = "Member profile"
    name: str = text_input("Name", "How to call such a member.", min_length=1)
    hours_per_year: float = declared(
        "Hours flown", "hours a year", "Hours this member flies in a year."
    )


class Club(Record):
    """The club; a single owner leaves this section out."""

    heading: ClassVar[str] = "The club"
    members: int = declared("Members", "people", "Members who pay dues on as_of.")
    dues_per_month: Quantity = amount(
        "Dues", "money a month", "What each member pays a month, flying or not."
    )
    joining_fee: Quantity = amount("Joining fee", "money", "Paid once by a new member.")
    reserve: float = declared(
        "Reserve",
        "money",
        "Cash on hand on as_of, without the engine fund.",
        low=-LARGEST,
        default=0.0,
    )
    reserve_floor: float = declared(
        "Reserve floor",
        "money",
        "The balance the club wants never to go below.",
        low=-LARGEST,
        default=0.0,
    )
    floor_years: int | None = declared(
        "Years to hold the floor",
        "years",
        "For how many years a raise must hold the floor; 5 if left out, at most the horizon.",
        low=1,
        high=40,
        default=None,
    )
    other_net_per_year: Quantity = amount(
        "Other net income",
        "money a year",
        "All the club's other income less its other spending.",
        low=-LARGEST,
    )
    moved_share: Quantity = share(
        "Moved flying", "Share of lost flying that members move to other club aircraft."
    )
    profiles: Annotated[
        tuple[Profile, ...], AfterValidator(lambda v: unique_by_name(v, "profile"))
    ] = declared("Member profiles", "list", "Kinds of member to show a bill for.", default=())
