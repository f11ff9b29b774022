"""Warnings beside an option's name: a start that is refused as planned, lapsed quotes."""

from datetime import date

from panelworth.model.case import Case
from panelworth.publishing.formats import near_day
from panelworth.publishing.language import _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.ledger_words import lapsed_things


def obstacles(view: View, tag: OptionTag) -> str:
    """Return sentences on what prevents an option as planned."""
    return " ".join(filter(None, (_refused(view, tag), lapsed(view.case, tag.id))))


def _refused(view: View, tag: OptionTag) -> str:
    leading, as_of = view.leading(tag), view.case.scenario.as_of
    if leading.allowed_start:
        return _(
            "Cannot start {planned}; shown from {day}.",
            planned=near_day(date.fromisoformat(view.series(tag.id).start), as_of),
            day=near_day(leading.start, as_of),
        )
    return _("Cannot start as planned.") if leading.refused else ""


def lapsed(case: Case, option_id: str) -> str:
    """Say how many papers behind an option's prices have lapsed."""
    count = len(lapsed_things(case, option_id))
    if not count:
        return ""
    return ngettext(
        "{count} quote has lapsed: ask again.", "{count} quotes have lapsed: ask again.", count
    ).format(count=count)


def notes(view: View) -> dict[str, str]:
    """Return a short note for the table of each option."""
    texts = {
        tag.id: "; ".join(filter(None, (_start(view, tag), lapsed_note(view.case, tag.id))))
        for tag in view.tags.values()
    }
    return {option_id: text for option_id, text in texts.items() if text}


def _start(view: View, tag: OptionTag) -> str:
    leading = view.leading(tag)
    if leading.allowed_start:
        return _("from {day}", day=near_day(leading.start, view.case.scenario.as_of))
    return _("cannot start as planned") if leading.refused else ""


def lapsed_note(case: Case, option_id: str) -> str:
    """Return a short note if an option's figures depend on a lapsed paper; else ""."""
    return _("on a lapsed quote") if lapsed_things(case, option_id) else ""


def still_as_planned(view: View) -> str:
    """Say which figures are those of the plan, although the plan is refused."""
    tags = [tag for tag in view.tags.values() if view.leading(tag).allowed_start]
    if not tags:
        return ""
    if not view.club:
        return _(
            "{options} cannot start as planned: costs, payback and sliders are of that plan.",
            options=names(tags),
        )
    return _(
        "{options} cannot start as planned: up front, hour, payback and sliders are of that plan.",
        options=names(tags),
    )
