"""What only a club has; for a single owner the glossary and the starter folder leave it out."""

from pydantic import BaseModel

from panelworth.model.club import Club, Profile
from panelworth.model.decision import Vote
from panelworth.model.option import Members

RECORDS: tuple[type[BaseModel], ...] = (Club, Profile, Members, Vote)
KEYS = {
    "hourly_rate",  # an owner charges nobody
    "hourly_rate_increase",
    "dues_increase",
    "assessment_per_member",
    "raise_years",
    "solve",
    "solve_chance",
    "reserve",  # of the club, and on the status date
    "assessment_collected",
}


def is_club_only(record: type[BaseModel], key: str) -> bool:
    """Say whether a single owner has no use for a key of a record."""
    return record in RECORDS or key in KEYS
