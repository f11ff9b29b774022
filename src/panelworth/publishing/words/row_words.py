"""The texts beside an option's outcomes: how often it ends ahead, how long the airplane is away."""

from panelworth.model.case import Case
from panelworth.publishing.formats import capitalized, plural
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words
from panelworth.publishing.words.sentences import others_remain


def basis(view: View) -> str:
    """Explain a mark of the picture."""
    years = plural(view.figures.years, "year", "years")
    if len(view.tags) == 1:
        return ""
    return _(
        "Each mark: 1 of {all} equally likely outcomes in {years}.",
        all=level_words.FUTURES,
        years=years,
    )


def outcome_texts(view: View, tag: OptionTag) -> dict[str, str]:
    """Say how often an option ends ahead, and how long the airplane is away."""
    if tag is view.baseline:
        measured = _("The others are measured from it.") if view.others else ""
        return {"count": "", "rest": f"{measured} {away(view.case, tag)}".strip()}
    share = view.leading(tag).ahead_of[view.baseline.id]
    count = _("{count} ahead.", count=level_words.of_twenty(share))
    return {"count": capitalized(count), "rest": away(view.case, tag)}


def away(case: Case, tag: OptionTag) -> str:
    """Say in a few words for how long the airplane, or one of several, is away."""
    option = case.options[tag.id]
    if option.schedule is None or option.schedule.weeks_down.high == 0:
        return _("Never away.")
    weeks = plural(option.schedule.weeks_down.likely, "week", "weeks")
    text = N_("Away {weeks}.")
    if option.no_airplane_while_down:
        text = N_("No airplane for {weeks}.")
        if others_remain(case):
            text = N_("One airplane less for {weeks}.")
    return _(text, weeks=weeks)
