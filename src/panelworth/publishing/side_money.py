"""Side by side in money, risk and time: rows of figures that other pages tell one by one."""

import math
from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Any

from panelworth.engine.results import Funded
from panelworth.engine.results_trials import OptionUncertainty
from panelworth.publishing import level_words, sentences
from panelworth.publishing.figure_names import LIKELY, Figure
from panelworth.publishing.formats import NEVER, NONE, day, month, plural
from panelworth.publishing.language import noted, say
from panelworth.publishing.risk_words import chance
from panelworth.publishing.side_rows import (
    Better,
    Cell,
    Group,
    Row,
    Worded,
    by_days,
    by_months,
    by_option,
    cents_gap,
    counted,
    in_100,
    money_gap,
    points_in_tenths,
    ratio,
    row,
    told,
    with_something,
)
from panelworth.publishing.view import OptionTag, View

BETTER: dict[str, Better] = {
    "outlay": "low",
    "upfront": "low",
    "net_benefit": "high",
    "cost_npv": "low",
    "cost_per_hour": "low",
    "cost_per_member_month": "low",
    "equivalent_annual_cost": "low",
    "end_value": "high",
    "payback_months": "low",
    "discounted_payback_months": "low",
    "irr": "",
    "savings_to_investment": "",
}
GROUPS = {
    "equipment": noted("Equipment"),
    "labour": noted("Labour"),
    "certification": noted("Certification"),
    "materials": noted("Materials"),
    "travel": noted("Travel"),
    "training": noted("Training"),
    "other": noted("Other"),
    "small jobs": noted("Small jobs"),
}


def costs(view: View) -> Group:
    """Compare the figures of the likely view; rates of return have no better end."""
    rows = [_figure(view, figure) for figure in LIKELY if figure.key in BETTER]
    return Group(
        id="costs",
        title=say("What it costs"),
        matter="money",
        rows=with_something(rows),
        more=("compare.html#figures", say("Every figure")),
    )


def _figure(view: View, figure: Figure) -> Row:
    if figure.key == "net_benefit":
        return _net_benefit(view)
    cells = {}
    for tag in view.tags.values():
        value = getattr(view.option(tag.id).likely, figure.key)
        if figure.against and tag.id == view.figures.baseline:
            cells[tag.id] = Cell(text=NONE)
        else:
            text = figure.write(view.formats, value)
            cells[tag.id] = Cell(text=text, value=_number(figure.key, value))
    better, gap = BETTER[figure.key], _gap(view, figure.key)
    return Row(key=figure.key, label=say(figure.label), cells=cells, better=better, gap=gap)


def _net_benefit(view: View) -> Row:
    """Compare what options bring; where two are level, none is ranked.

    An option that is refused as planned stands at its first allowed start, the plan beside it.
    """
    cells = {}
    for tag in view.tags.values():
        value, later = level_words.net_benefit(view, tag), level_words.allowed(view, tag)
        text = view.formats.change(value)
        if later:
            planned = view.formats.change(view.option(tag.id).likely.net_benefit)
            text = say(
                "{sum} from {day}; as planned, refused: {planned}",
                sum=text,
                day=day(later.start),
                planned=planned,
            )
        cells[tag.id] = Cell(text=text, value=value)
    label = noted("Brings you, against “{baseline}”")
    if view.club:
        label = noted("Brings members, against “{baseline}”")
    return Row(
        key="net_benefit",
        label=say(label, baseline=view.baseline.title),
        cells=cells,
        better=_if_ranked(view),
        gap=money_gap(view.formats),
    )


def _if_ranked(view: View) -> Better:
    return "" if level_words.any_level(view) else "high"


def _gap(view: View, key: str) -> Worded:
    """Return how a difference in a figure is worded, in the figure's own unit."""
    special: dict[str, Worded] = {"irr": points_in_tenths, "savings_to_investment": ratio}
    if key.endswith("months"):
        return by_months
    money = cents_gap if key.startswith("cost_per") else money_gap
    return special.get(key, money(view.formats))


def _number(key: str, value: Any) -> float | None:  # noqa: ANN401 (a figure of any kind)
    """Return what orders a figure: one that never pays back comes last, several rates nowhere."""
    if key == "irr":
        return value[0] if len(value) == 1 else None
    if value is None:
        return math.inf if key.endswith("months") else None
    return float(value)


def bills(view: View) -> Group | None:
    """Compare what is asked of members, the reserve, and loans."""
    formats = view.formats
    cents, change = formats.cents, cents_gap(formats)
    rows = []
    for place, bill in enumerate(view.option(view.figures.baseline).bills):
        found = {tag.id: level_words.bills(view, tag)[place].per_month for tag in _tags(view)}
        label = say("A month: {member}", member=bill.name)
        rows.append(row(f"bill-{place}", label, found, cents, better="low", gap=change))
    asked = partial(_funded, view)
    rows += [
        row(
            "dues", say("Dues a month more, for the reserve"), asked("dues_increase"), cents,
            better="low", gap=change,
        ),
        row(
            "rate", say("An hour more, on top of its own rate"), asked("hourly_rate_increase"),
            cents, better="low", gap=change,
        ),
        row(
            "once", say("Once, from each member"), asked("assessment_per_member"), cents,
            better="low", gap=change,
        ),
        row(
            "lowest", say("Lowest reserve"), asked("lowest_balance"), formats.money,
            better="high", gap=money_gap(formats),
        ),
        *([_below(view)] if view.club else []),
        row("loan", say("Loan payment a month"), asked("loan_payment"), cents, gap=change),
        row(
            "interest", say("Interest in all"), asked("loan_interest"), formats.money,
            gap=money_gap(formats),
        ),
        row(
            "owed", say("Still owed at the end"), asked("debt_at_end"), formats.money,
            gap=money_gap(formats),
        ),
    ]  # fmt: skip
    kept = with_something(rows)
    if not kept:
        return None
    title = say("What members are asked for") if view.club else say("How it is paid")
    more = ("dates.html", say("Dates"))
    return Group(id="bills", title=title, matter="money", rows=kept, more=more)


def _tags(view: View) -> list[OptionTag]:
    return list(view.tags.values())


def _funded(view: View, key: str) -> dict[str, float | None]:
    def find(tag: OptionTag) -> float | None:
        funded: Funded | None = level_words.funded(view, tag)
        return getattr(funded, key) if funded else None

    return by_option(_tags(view), find)


def _below(view: View) -> Row:
    """Say when the reserve first falls below the floor."""

    def find(tag: OptionTag) -> str:
        funded = level_words.funded(view, tag)
        if funded is None or funded.below_floor_month is None:
            return say(NEVER)
        return month(view.case.scenario.as_of, funded.below_floor_month)

    return told("below", say("Reserve likely below its floor"), by_option(_tags(view), find))


def made_of(view: View) -> Group | None:
    """Compare the prices of a project's items, kind by kind; a low one is not better by itself."""
    priced, money = view.insight.priced, view.formats.money
    if not priced:
        return None
    rows = []
    for group, label in GROUPS.items():
        found = {each: priced[each].get(group) for each in view.tags}
        rows.append(row(f"items-{group}", say(label), found, money, gap=money_gap(view.formats)))
    paid = by_option(_tags(view), lambda tag: _purchase(view, tag))
    back = by_option(_tags(view), lambda tag: _back(view, tag))
    own = by_option(_tags(view), lambda tag: _own_work(view, tag))
    change = money_gap(view.formats)
    rows += [
        row("purchase", say("The other airplane"), paid, money, gap=change),
        row("back", say("Comes in from sales and credits"), back, money, gap=change),
        row(
            "own-work",
            say("Unpaid work"),
            own,
            lambda hours: plural(hours, "hour", "hours"),
            gap=counted("hour", "hours"),
        ),
    ]
    kept = with_something(rows)
    title = say("What it is made of")
    return Group(id="items", title=title, matter="money", rows=kept) if kept else None


def _purchase(view: View, tag: OptionTag) -> float | None:
    likely = view.option(tag.id).likely
    return likely.outlay - likely.project or None


def _back(view: View, tag: OptionTag) -> float | None:
    likely = view.option(tag.id).likely
    return likely.outlay - likely.upfront or None


def _own_work(view: View, tag: OptionTag) -> float | None:
    return math.fsum(item.member_hours for item in view.case.options[tag.id].items) or None


def risk(view: View) -> Group:
    """Compare what the drawn futures say."""
    money, change, tags = view.formats.money, money_gap(view.formats), _tags(view)

    def uncertain(find: Callable[[OptionUncertainty], float | None]) -> dict[str, float | None]:
        return by_option(tags, lambda tag: find(view.uncertain(tag.id)))

    def share(key: str, label: str, field: str, better: Better) -> Row:
        found = uncertain(lambda each: getattr(each, field))
        return row(key, label, found, chance, better=better, gap=in_100)

    ahead = say("Ahead of “{baseline}”", baseline=view.baseline.title)
    rows = [
        share("best", say("Brings most of all options"), "chance_best", _if_ranked(view)),
        share("beats", ahead, "chance_beats_baseline", _if_ranked(view)),
        row(
            "regret", say("The best of all brings more, on average"),
            uncertain(lambda each: each.regret), money, gap=change,
        ),
        row(
            "budget", say("To pay: enough in 8 of 10 futures"),
            by_option(tags, lambda tag: level_words.drawn(view, tag).budget_p80), money,
            better="low", gap=change,
        ),
        share("likely-enough", say("The likely prices are enough"), "chance_likely_enough", "high"),
    ]  # fmt: skip
    if view.club:
        label = say("Reserve below its floor")
        found = by_option(tags, lambda tag: level_words.drawn(view, tag).chance_below_floor)
        rows.append(row("floor", label, found, chance, better="low", gap=in_100))
    return Group(
        id="risk",
        title=say("How sure it is"),
        matter="risk",
        rows=with_something(rows),
        more=("risk.html", say("Risk")),
    )


def downtime(view: View) -> Group | None:
    """Compare how long and when the airplane is away, what that loses, and later breakdowns."""
    tags = _tags(view)
    if not any(view.case.options[tag.id].schedule for tag in tags):
        return None
    weeks = {tag.id: _weeks(view, tag) for tag in tags}
    rows = [
        Row(
            key="weeks", label=say("Time down"), cells=weeks,
            better="low", gap=counted("week", "weeks"),
        ),
        _days(view, "start", say("Away from")),
        _days(view, "finish", say("Likely back on")),
        *_losses(view),
        *_conflicts(view),
        _groundings(view),
    ]  # fmt: skip
    return Group(
        id="downtime",
        title=say("When it is away"),
        matter="downtime",
        rows=with_something(rows),
        more=("dates.html", say("Dates")),
    )


def _losses(view: View) -> list[Row]:
    """Compare the flying lost while away, and for a club what it would have left over."""
    hours = by_option(_tags(view), lambda tag: _lost(view, tag, "lost_hours"))
    left = by_option(_tags(view), lambda tag: _lost(view, tag, "lost_contribution"))
    gap = money_gap(view.formats)
    rows = [
        row(
            "lost-hours", say("Flying lost"), hours, _hours,
            better="low", gap=counted("hour", "hours"),
        ),
        row(
            "lost-money", say("What that flying would have left over"), left, view.formats.money,
            better="low", gap=gap,
        ),
    ]  # fmt: skip
    return rows if view.club else rows[:1]


def _groundings(view: View) -> Row:
    """Compare the flying that breakdowns are likely to take a year once an option is in force."""
    key, cells = "hours_lost_per_year", {}
    for tag in view.tags.values():
        changed = view.case.options[tag.id].after.new(key)
        lost = changed if changed is not None else view.case.scenario.aircraft.hours_lost_per_year
        text = say("{hours} hours", hours=view.formats.quantity(lost, "hours"))
        cells[tag.id] = Cell(text=text, value=lost.likely)
    label = say("Lost to breakdowns a year")
    return Row(
        key="groundings", label=label, cells=cells, better="low", gap=counted("hour", "hours")
    )


def _hours(hours: float) -> str:
    return plural(hours, "hour", "hours") if hours else say("none")


def _weeks(view: View, tag: OptionTag) -> Cell:
    schedule = view.case.options[tag.id].schedule
    if schedule is None or not schedule.weeks_down.high:
        return Cell(text=say("none"), value=0.0)
    return Cell(text=sentences.weeks(schedule), value=schedule.weeks_down.likely)


def _days(view: View, end: str, label: str) -> Row:
    cells = {}
    for tag in view.tags.values():
        iso = getattr(view.series(tag.id), end)
        stays = view.case.options[tag.id].schedule is None
        ordinal = None if stays else float(date.fromisoformat(iso).toordinal())
        cells[tag.id] = Cell(text=NONE if stays else day(iso), value=ordinal)
    return Row(key=end, label=label, cells=cells, gap=by_days)


def _lost(view: View, tag: OptionTag, key: str) -> float:
    found = view.option(tag.id).downtime
    return getattr(found, key) if found else 0.0


def _conflicts(view: View) -> list[Row]:
    """Compare how likely the airplane is still down when it may not be, if there is such a day."""
    planners, cells = view.figures.airplane.planners, {}
    if not any(planner.own.room_weeks is not None for planner in planners.values()):
        return []
    for tag in view.tags.values():
        planner = planners.get(tag.id)
        if planner is None:
            cells[tag.id] = Cell(text=say("never down"), value=0.0)
        else:
            share = planner.own.chance_conflict
            cells[tag.id] = Cell(text=chance(share), value=share)
    label = say("Still down when it may not be")
    return [Row(key="conflict", label=label, cells=cells, better="low", gap=in_100)]
