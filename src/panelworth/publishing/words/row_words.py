"""What stands in an option's row beside its outcomes: how often ahead, how long away, a warning."""

from datetime import date

from panelworth.publishing.formats import capitalized, near_day, plural
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words
from panelworth.publishing.words.ledger_words import lapsed_things
from panelworth.publishing.words.sentences import others_remain


def basis(view: View) -> str:
    """Say what a mark of the picture stands for."""
    years = plural(view.figures.years, "year", "years")
    if len(view.tags) == 1:
        return ""
    return _(
        "Each mark: 1 of {all} equally likely outcomes in {years}.",
        all=level_words.FUTURES,
        years=years,
    )


def tell(view: View, tag: OptionTag) -> dict[str, str]:
    """Say how often an option ends ahead, and how long the airplane is away."""
    if tag is view.baseline:
        measured = _("The others are measured from it.") if view.others else ""
        return {"count": "", "rest": f"{measured} {away(view, tag)}".strip()}
    share = level_words.ahead_share(view, tag, view.baseline)
    count = _("{count} ahead.", count=level_words.of_twenty(share))
    return {"count": capitalized(count), "rest": away(view, tag)}


def away(view: View, tag: OptionTag) -> str:
    """Say in a few words for how long the airplane is away, or which is missing."""
    option = view.case.options[tag.id]
    if option.schedule is None or option.schedule.weeks_down.high == 0:
        return _("Never away.")
    weeks = plural(option.schedule.weeks_down.likely, "week", "weeks")
    gone = N_("Away {weeks}.")
    if option.no_airplane_while_down:
        gone = N_("No airplane for {weeks}.")
        if others_remain(view):
            gone = N_("One airplane less for {weeks}.")
    return _(gone, weeks=weeks)


def stands_in_its_way(view: View, tag: OptionTag) -> str:
    """Warn of what keeps an option from being done as shown: a refused start, lapsed prices."""
    return " ".join(each for each in (_refused(view, tag), lapsed(view, tag)) if each)


def _refused(view: View, tag: OptionTag) -> str:
    later, as_of = level_words.allowed(view, tag), view.case.scenario.as_of
    if later:
        return _(
            "Cannot start {planned}; shown from {day}.",
            planned=near_day(date.fromisoformat(view.series(tag.id).start), as_of),
            day=near_day(date.fromisoformat(later.start), as_of),
        )
    return _("Cannot start as planned.") if level_words.refused(view, tag) else ""


def lapsed(view: View, tag: OptionTag) -> str:
    """Say how many papers an option rests on have lapsed."""
    count = len(lapsed_things(view, tag))
    if not count:
        return ""
    return ngettext(
        "{count} quote has lapsed: ask again.", "{count} quotes have lapsed: ask again.", count
    ).format(count=count)
