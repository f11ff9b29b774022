"""What an option changes once it is in force: values today and after."""

from collections.abc import Iterator
from dataclasses import dataclass

from panelworth.model.case import Case, Input, inputs_of, option_prefix
from panelworth.publishing.formats import NONE, Formats, signed
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.sources import input_name

MOST_CHANGES = 6  # in the table; the others are counted
# Shown first, since readers look for them; other changes follow in the order of the file.
FIRST = (
    *("hours_lost_per_year", "hours_per_year_change", "repairs.per_year", "hourly_rate"),
    *("fuel_per_hour", "insurance.agreed_value"),
)
NAME_HAS_PERIOD = ("hourly_rate",)  # inputs whose names contain the period already
PERIODS = (N_("a year"), N_("an hour"))


@dataclass(frozen=True, kw_only=True)
class Change:
    """An input's value today, and its value once the option is in force."""

    label: str
    period: str
    today: str
    after: str


def changes(view: View, tag: OptionTag) -> list[Change]:
    """Return the changes from the month after the finish, the most important ones first."""
    return [
        *_inputs(view, tag),
        *_dropped(view, tag),
        *_members(view, tag),
        *_done(view.case, tag),
    ]


def _inputs(view: View, tag: OptionTag) -> list[Change]:
    option, today = view.case.options[tag.id], view.case.scenario.aircraft
    was = {entry.path: entry for entry in inputs_of(today)}
    prefix = f"{option_prefix(tag.id)}after."
    declared = [
        entry
        for entry in inputs_of(option.after)
        if f"{prefix}{entry.path}" in view.case.source_lines
    ]
    declared.sort(key=lambda entry: FIRST.index(entry.path) if entry.path in FIRST else len(FIRST))
    return [_change(view.formats, entry, was.get(entry.path)) for entry in declared]


def _change(formats: Formats, declared: Input, before: Input | None) -> Change:
    def written(at: Input) -> str:
        return formats.measure(at.quantity.likely, at.unit)

    then = (
        signed(written(declared)) if declared.path == "hours_per_year_change" else written(declared)
    )
    return Change(
        label=input_name(declared),
        period=_period(declared),
        today=written(before) if before else NONE,
        after=then,
    )


def _period(declared: Input) -> str:
    """Return the period of a unit: "a year" of "money a year"; "" if the name contains it."""
    period_text = next(
        (_(period) for period in PERIODS if declared.unit.endswith(f" {period}")), ""
    )
    if input_name(declared).endswith(period_text) or declared.path in NAME_HAS_PERIOD:
        return ""
    return period_text


def _dropped(view: View, tag: OptionTag) -> Iterator[Change]:
    costs = {cost.name: cost for cost in view.case.scenario.aircraft.fixed}
    for name in view.case.options[tag.id].after.dropped_fixed:
        if name in costs:
            sum_ = view.formats.measure(costs[name].per_year.likely, "money")
            yield Change(label=name, period=_("a year"), today=sum_, after=_("gone"))


def _members(view: View, tag: OptionTag) -> Iterator[Change]:
    joined = view.case.options[tag.id].members.joined
    if view.club and joined.likely:
        after = signed(view.formats.measure(joined.likely, "people"))
        yield Change(label=_("Members"), period="", today=NONE, after=after)


def _done(case: Case, tag: OptionTag) -> Iterator[Change]:
    """Yield the recurring items whose clock restarts at the finish."""
    for name in case.options[tag.id].after.recurring_done:
        yield Change(label=name, period="", today=NONE, after=_("done"))


def further(view: View, tag: OptionTag) -> str:
    """Write the number of changes that are not listed; "" if all are."""
    count = len(changes(view, tag)[MOST_CHANGES:])
    return _("and {count} more", count=count) if count else ""
