"""What members are asked for, in words: rounded up, and from the first start that is allowed."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from funded_views import with_funded
from laws import law
from panelworth.publishing.view import View
from panelworth.publishing.words import cash_words, level_words, raise_words
from small_cases import CLUB, case_in, refit

AGAIN = law(40)
RAISES = {
    "full": "dues_increase",
    "part": "assessment_per_member",
    "replace": "hourly_rate_increase",
}


@AGAIN
@given(amount=st.floats(0.01, 5000.0), option_id=st.sampled_from(list(RAISES)))
def test_a_solved_raise_is_rounded_up_to_whole_money(
    club: View, amount: float, option_id: str
) -> None:
    view = with_funded(club, option_id, **{RAISES[option_id]: amount})
    raises = raise_words.raises(view.case, view.formats, view.leading(view.tags[option_id]))
    [told] = [each for each in raises if "more" in each or "each" in each][-1:]
    solved = raise_words.up(view.formats, amount)
    assert any(
        solved in each
        for each in raise_words.raises(view.case, view.formats, view.leading(view.tags[option_id]))
    ), told
    whole = float(solved.replace("$", "").replace(",", ""))
    assert round(amount, 2) <= whole < round(amount, 2) + 1.0


@pytest.mark.parametrize(
    ("joined", "change", "warned"),
    [("-2", "0", True), ("-2", "-30", False), ("0", "0", False), ("[-3, 0, 2]", "0", False)],
)
def test_members_who_leave_without_their_hours_are_warned_of(
    tmp_path: Path, joined: str, change: str, *, warned: bool
) -> None:
    from panelworth import evaluate  # noqa: PLC0415
    from panelworth.publishing.view import view_of  # noqa: PLC0415

    rest = f"[after]\nhours_per_year_change = {change}\n[members]\njoined = {joined}\n"
    case = case_in(tmp_path, {"refit": refit("cost = 5", rest=rest)}, rest=CLUB)
    view = view_of(case, evaluate(case))
    assert bool(level_words.cautions(view.case, "refit")) == warned


def test_money_is_told_from_the_first_allowed_start_with_the_plan_beside_it(club: View) -> None:
    """The refused plan's raise never leads."""
    tag = club.tags["full"]
    planned, later = club.option("full").funded, club.option("full").allowed_start
    assert planned is not None
    assert later is not None
    assert later.funded is not None
    first, then = (
        raise_words.up(club.formats, each.dues_increase or 0.0) for each in (later.funded, planned)
    )
    assert first != then
    assert f"{first} a month more for 6 years" in cash_words.paid(club, tag)
