"""Sentences are made from figures: each is checked against the figure it tells."""

from dataclasses import replace

from panelworth.publishing.view import View
from panelworth.publishing.words import sentences


def with_likely(view: View, option_id: str, **changed: object) -> View:
    """Return the view with some likely figures of one option changed."""
    option = view.option(option_id)
    new = replace(option, likely=replace(option.likely, **changed))
    figures = replace(view.figures, options={**view.figures.options, option_id: new})
    return replace(view, figures=figures)


def test_nothing_to_pay_is_said_so(club: View) -> None:
    free = with_likely(club, "keep", outlay=0.0, upfront=0.0)
    assert (
        sentences.upfront(free.formats, free.option("keep").likely) == "Nothing is paid up front."
    )
    gain = with_likely(club, "keep", outlay=500.0, upfront=-1500.0)
    assert sentences.upfront(gain.formats, gain.option("keep").likely) == (
        "It takes $500; sales and credits bring in $2,000."
    )


def test_figures_in_sentences_are_the_engines(club: View) -> None:
    tag, likely = club.tags["full"], club.option("full").likely
    money = club.formats.money
    assert money(likely.upfront) in sentences.upfront(club.formats, club.option(tag.id).likely)
