"""Sentences are made from figures: each is checked against the figure it tells."""

from dataclasses import replace

from funded_views import funded
from panelworth.publishing import raise_words, sentences
from panelworth.publishing.formats import duration
from panelworth.publishing.view import View


def with_likely(view: View, option_id: str, **changed: object) -> View:
    """Return the view with some likely figures of one option changed."""
    option = view.option(option_id)
    new = replace(option, likely=replace(option.likely, **changed))
    figures = replace(view.figures, options={**view.figures.options, option_id: new})
    return replace(view, figures=figures)


def test_more_and_less_follow_the_sign(club: View) -> None:
    tag = club.tags["part"]
    more = with_likely(club, "part", net_benefit=1250.4)
    less = with_likely(club, "part", net_benefit=-1250.4)
    assert sentences.brings(more, tag) == (
        "Over 10 years it likely brings members $1,250 more than “Keep nursing it”, in today's "
        "money."
    )
    assert "brings members $1,250 less than" in sentences.brings(less, tag)
    same = with_likely(club, "part", net_benefit=0.3)
    assert "brings as much as" in sentences.brings(same, tag)
    for view in (more, less, same):
        assert sentences.against_baseline(view, tag).startswith(sentences.brings(view, tag))


def test_an_owner_is_spoken_to(owner: View) -> None:
    assert "brings you" in sentences.against_baseline(owner, owner.tags["refit"])


def test_never_at_once_and_for_a_while_are_answers(club: View) -> None:
    tag, counting = club.tags["full"], "Counting what the hours are worth, it "
    never = with_likely(club, "full", payback_months=None, first_payback_months=None)
    while_ = with_likely(club, "full", payback_months=None, first_payback_months=4)
    first = with_likely(club, "full", payback_months=None, first_payback_months=0)
    ahead = with_likely(club, "full", payback_months=0, first_payback_months=0)
    back = with_likely(club, "full", payback_months=97)
    assert sentences.payback(never, tag) == f"{counting}never pays back within 10 years."
    assert sentences.payback(while_, tag) == (
        f"{counting}is ahead after 4 months for a while, but not to the end of the 10 years."
    )
    assert sentences.payback(first, tag) == (
        f"{counting}is ahead at first, but not to the end of the 10 years."
    )
    assert sentences.payback(ahead, tag) == f"{counting}is never behind."
    assert sentences.payback(back, tag) == f"{counting}has paid itself back after 8 years 1 month."


def test_nothing_to_pay_is_said_so(club: View) -> None:
    free = with_likely(club, "keep", outlay=0.0, upfront=0.0)
    assert sentences.upfront(free, club.tags["keep"]) == "Nothing is paid up front."
    gain = with_likely(club, "keep", outlay=500.0, upfront=-1500.0)
    assert sentences.upfront(gain, club.tags["keep"]) == (
        "It takes $500; sales and credits bring in $2,000."
    )


def test_figures_in_sentences_are_the_engines(club: View) -> None:
    tag, likely = club.tags["full"], club.option("full").likely
    money = club.formats.money
    assert money(likely.upfront) in sentences.upfront(club, tag)
    assert duration(likely.payback_months) in sentences.payback(club, tag)


def test_funding_tells_loan_raise_and_floor(club: View) -> None:
    told, paid_for = sentences.funding(club, club.tags["full"]), funded(club, "full")
    assert f"{raise_words.up(club, paid_for.dues_increase or 0.0)} a month more in dues" in told
    assert f"{club.formats.cents(paid_for.loan_payment)} a month for 5 years" in told
    assert "stays at or above its floor of $15,000" in told


def test_a_broken_floor_is_told(club: View) -> None:
    funded = club.option("keep").funded
    assert funded is not None
    broken = replace(funded, below_floor_month=14, lowest_balance=1234.0, lowest_balance_month=20)
    option = replace(club.option("keep"), funded=broken)
    figures = replace(club.figures, options={**club.figures.options, "keep": option})
    told = sentences.reserve(replace(club, figures=figures), club.tags["keep"])
    assert told == (
        "The reserve falls below its floor of $15,000 in January 2028; its lowest is $1,234 in "
        "July 2028."
    )
