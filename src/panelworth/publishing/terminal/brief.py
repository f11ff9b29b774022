"""A summary for an e-mail: plain text in lines of at most 72 characters."""

import textwrap
from collections.abc import Iterator, Sequence

from panelworth.publishing.formats import day, joined
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import (
    answer_words,
    closing_words,
    handout_words,
    pay_words,
    project_words,
    row_words,
    warning_words,
)
from panelworth.publishing.words.caution_lines import unfinished
from panelworth.publishing.words.sentences import joined_sentences, one_line

WIDTH = 72  # within the 78 characters that RFC 5322, 2.1.1, recommends


def brief(view: View, page: str = "") -> str:
    """Return the question, costs and outcome of each option, and the reasons to decide.

    A fact has one place: what the lines of an option say is not said again below them.
    `page` is the address of the site's first page, "" if that is not known.
    """
    scenario = view.case.scenario
    as_of = _("As of {day}", day=day(scenario.as_of))
    parts = [
        [*_lines(scenario.title), *_lines(as_of)],
        _lines(unfinished(view.case)),
        _lines(_as_voted(view)),
        _lines(scenario.question or _("Which option?")),
        _lines(handout_words.basis()),
        *(_part(_named(tag), list(_option(view, tag))) for tag in view.tags.values()),
        _part(_("What differs"), [joined_sentences(*answer_words.brings(view))]),
        _part(_("Level in money"), [answer_words.level_in_short(view)]),
        _part(_("What decides it"), [answer_words.decides(view)]),
        _part(_("What could go wrong"), [answer_words.goes_wrong(view)]),
        _part(_("Decide by"), answer_words.deadlines(view)),
        _part(_("Who decides"), handout_words.cautions(view.club)),
        _part(_("All of it"), [page]) if page else [],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def progress_brief(view: View, page: str = "") -> str:
    """Return how the project is going since the decision, and the closing report if there is one.

    `page` is the address of the site's first page, "" if that is not known.
    """
    project, scenario = view.figures.project, view.case.scenario
    if project is None:
        raise ValueError("there is no decision yet")
    closing = project.close_out
    heads_ = [
        *project_words.heads(view, project),
        *(closing_words.heads(view, project, closing) if closing else []),
    ]
    happened = joined_sentences(project_words.decided(view), project_words.steps(project))
    parts = [
        [*_lines(scenario.title), *_lines(_("As of {day}", day=day(project.day)))],
        _lines(happened),
        *(_part(head, [text]) for head, text in heads_),
        _part(_("What moved"), project_words.moved(view, project)),
        _lines(project_words.announced(project)),
        _lines(project_words.waits_for(project)),
        _part(_("Who decides"), handout_words.cautions(view.club)),
        _part(_("All of it"), [page]) if page else [],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _as_voted(view: View) -> str:
    """Say what was decided, and that the comparison is not of today; "" before a decision."""
    text = project_words.decided(view)
    return joined_sentences(text, _("What follows stays as it was then.")) if text else ""


def _named(tag: OptionTag) -> str:
    named = _("{short}: {title}", short=tag.short, title=tag.title)
    return tag.title if tag.short == tag.title else named


def _option(view: View, tag: OptionTag) -> Iterator[str]:
    """Yield an option's bill, what to grant for it, how often it ends ahead, and its warnings."""
    yield from _pays(view, tag)
    grant = N_("To set aside: {sum}.")
    if view.club:
        grant = N_("To grant: {sum}.")
    yield _(grant, sum=handout_words.granted(view, tag))
    outcome = row_words.outcome_texts(view, tag)
    yield joined_sentences(outcome["count"], outcome["rest"])
    yield warning_words.obstacles(view, tag)


def _pays(view: View, tag: OptionTag) -> Iterator[str]:
    """Yield the range of members' bills and the raise asked for, or what a year costs an owner."""
    beside = tag is not view.baseline
    if not view.club:
        text = (
            N_("All costs a year, against {baseline}: {sum}.")
            if beside
            else N_("All costs a year: {sum}.")
        )
        yield _(text, baseline=view.baseline.short, sum=pay_words.pays(view, tag)[0].value)
        return
    if bills := handout_words.bill_range(view, tag):
        text = N_("A member's bill a month: {sums}.")
        if beside:
            text = N_("A member's bill a month, against {baseline}: {sums}.")
        yield _(text, baseline=view.baseline.short, sums=bills)
    asked = joined(pay_words.asked(view, tag))
    yield _("Asked of members: {asks}.", asks=asked or _("nothing more"))


def _part(title: str, texts: Sequence[str]) -> list[str]:
    bullets = _bullets(texts)
    return [*_lines(title.upper()), *bullets] if bullets else []


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
