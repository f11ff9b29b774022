"""A summary for an e-mail: plain text in lines of at most 72 characters."""

import textwrap
from collections.abc import Iterator, Sequence

from panelworth.publishing.formats import day
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import handout_words, pay_words, row_words, warning_words
from panelworth.publishing.words.answer_words import heads
from panelworth.publishing.words.caution_lines import unfinished
from panelworth.publishing.words.sentences import joined_sentences, one_line

WIDTH = 72  # within the 78 characters that RFC 5322, 2.1.1, recommends


def brief(view: View, page: str = "") -> str:
    """Return the question, costs and outcome of each option, and the reasons to decide.

    `page` is the address of the site's first page, "" if that is not known.
    """
    scenario = view.case.scenario
    as_of = _("As of {day}", day=day(scenario.as_of))
    parts = [
        [*_lines(scenario.title), *_lines(as_of)],
        _lines(unfinished(view.case)),
        _lines(scenario.question or _("Which option?")),
        _lines(handout_words.basis()),
        *(_part(_named(tag), list(_option(view, tag))) for tag in view.tags.values()),
        *(_part(head, [text]) for head, text in heads(view)),
        _part(_("Who decides"), handout_words.cautions(view.club)),
        _part(_("All of it"), [page]) if page else [],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _named(tag: OptionTag) -> str:
    named = _("{short}: {title}", short=tag.short, title=tag.title)
    return tag.title if tag.short == tag.title else named


def _option(view: View, tag: OptionTag) -> Iterator[str]:
    """Yield an option's bill, what to grant for it, how often it ends ahead, and its warnings."""
    yield _pays(view, tag)
    grant = N_("To set aside: {sum}.")
    if view.club:
        grant = N_("To grant: {sum}.")
    yield _(grant, sum=handout_words.granted_at(view, tag))
    outcome = row_words.outcome_texts(view, tag)
    yield joined_sentences(outcome["count"], outcome["rest"])
    yield warning_words.obstacles(view, tag)


def _pays(view: View, tag: OptionTag) -> str:
    """Write the range of members' bills, or what a year costs an owner."""
    bills, pay = handout_words.bill_range(view, tag), pay_words.pays(view, tag)[0]
    if not view.club or not bills:
        asks = " ".join(filter(None, (pay.value, pay.note)))
        text = _("Each member: {asks}.", asks=asks)
        return text if view.club else f"{asks}."
    if tag is view.baseline:
        return _("A member's bill a month: {sums}.", sums=bills)
    return _(
        "A member's bill a month, against {baseline}: {sums}.",
        baseline=view.baseline.short,
        sums=bills,
    )


def _part(title: str, texts: Sequence[str]) -> list[str]:
    return [*_lines(title.upper()), *_bullets(texts)] if texts else []


def _bullets(texts: Sequence[str]) -> list[str]:
    return [line for text in texts if text for line in _lines(text, "- ", "  ")]


def _lines(text: str, first: str = "", rest: str = "") -> list[str]:
    """Break a text into lines; an address longer than a line is not broken."""
    return textwrap.wrap(
        one_line(text),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
