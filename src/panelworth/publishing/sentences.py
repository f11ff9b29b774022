"""Figures put into plain sentences: plurals, signs, "about", "never"; no figure without its basis.

Every function returns finished sentences; none recommends anything.
"""

from collections.abc import Callable

from panelworth.engine.results import Funded, OptionFigures
from panelworth.model.option import Schedule
from panelworth.publishing.figure_names import Write
from panelworth.publishing.formats import (
    NONE,
    Formats,
    about,
    day,
    duration,
    joined,
    month,
    number,
    plural,
)
from panelworth.publishing.view import OptionTag, View

Worded = Callable[[float], str]
Best = tuple[str, list[OptionTag], str]
CLOSE = 1.0  # of a unit of money: nearer than this is "the same"
REASONS = {
    "pays at any value": "any value",
    "never pays": "no value",
    "no effect": "makes no difference",
}
HOURS_REASONS = {
    "pays at any value": "It comes out ahead however much it flies.",
    "never pays": "It does not come out ahead however much it flies.",
    "no effect": "The hours flown make no difference to it.",
}


def upfront(view: View, tag: OptionTag) -> str:
    """Say what has to be paid, and what comes in against it."""
    likely, money = view.option(tag.id).likely, view.formats.money
    if likely.outlay < CLOSE:
        return "Nothing is paid up front."
    back = likely.outlay - likely.upfront
    if abs(back) < CLOSE:
        return f"Up front it takes {money(likely.outlay)}."
    if likely.upfront < 0:
        return f"It takes {money(likely.outlay)}; sales and credits bring in {money(back)}."
    return (
        f"Up front it takes {money(likely.upfront)}: {money(likely.outlay)} to pay, "
        f"less {money(back)} from sales and credits."
    )


def against_baseline(view: View, tag: OptionTag) -> str:
    """Say how an option compares with the baseline over the horizon, in today's money."""
    gain, money = view.option(tag.id).likely.npv_vs_baseline, view.formats.money
    years, other = plural(view.figures.years, "year", "years"), view.baseline.title
    who = "the club" if view.club else "you"
    if abs(gain) < CLOSE:
        return f"Over {years} it comes out the same as “{other}”, in today's money."
    end = "better" if gain > 0 else "worse"
    return (
        f"Over {years} it leaves {who} {money(abs(gain))} {end} off than “{other}”, "
        "in today's money, the airplane's value at the end counted."
    )


def payback(view: View, tag: OptionTag) -> str:
    """Say when the cash is back for good; an airplane's resale is not in it."""
    likely = view.option(tag.id).likely
    months, first = likely.payback_months, likely.first_payback_months
    if months is None and first is None:
        return f"In cash it never pays back within {plural(view.figures.years, 'year', 'years')}."
    if months is None:
        return (
            f"In cash it is ahead after {duration(first)} for a while, but not to the end "
            f"of the {plural(view.figures.years, 'year', 'years')}."
        )
    if months == 0:
        return "In cash it is never behind."
    return f"In cash it has paid itself back after {duration(months)}."


def downtime(view: View, tag: OptionTag) -> str:
    """Say when the airplane is away and for how long, with the range."""
    option = view.case.options[tag.id]
    schedule, series = option.schedule, view.series(tag.id)
    if schedule is None:
        return "The airplane stays in service."
    if schedule.weeks_down.high == 0:
        return f"It takes effect on {day(series.start)}, with no time down."
    gone = "The airplane is down"
    if option.kind == "replace":
        gone = "The club has one airplane less" if view.club else "You are without an airplane"
    return (
        f"{gone} from {day(series.start)} for likely {weeks(schedule)}, until {day(series.finish)}."
    )


def weeks(schedule: Schedule) -> str:
    """Write the weeks down with their range."""
    span = schedule.weeks_down
    text = plural(span.likely, "week", "weeks")
    return text if span.certain else f"{text} ({number(span.low)} to {number(span.high)})"


def funding(view: View, tag: OptionTag) -> str:
    """Say how the club pays for it and what is asked of members."""
    funded = view.option(tag.id).funded
    if funded is None or funded.lowest_balance is None:
        return loan(view, tag)
    option = view.case.options[tag.id]
    asked = asked_of_members(view, funded)
    said = f"Members pay {joined(asked)}." if asked else "Members are asked for nothing extra."
    if option.funding.solve and not _was_solved(funded, option.funding.solve):
        said = "No raise of the kind asked for keeps the reserve above its floor."
    return joined_sentences(loan(view, tag), said, reserve(view, tag))


def asked_of_members(view: View, funded: Funded) -> list[str]:
    """List what each member pays more, once, a month and an hour."""
    cents, asked = view.formats.cents, []
    if funded.assessment_per_member:
        asked.append(f"{cents(funded.assessment_per_member)} each, once")
    if funded.dues_increase:
        asked.append(f"{cents(funded.dues_increase)} a month more in dues")
    if funded.hourly_rate_increase:
        asked.append(f"{cents(funded.hourly_rate_increase)} an hour more")
    return asked


def _was_solved(funded: Funded, solve: str) -> bool:
    keys = {
        "dues": funded.dues_increase,
        "hourly_rate": funded.hourly_rate_increase,
        "assessment": funded.assessment_per_member,
    }
    return keys[solve] is not None


def loan(view: View, tag: OptionTag) -> str:
    """Say what a loan costs a month and in all."""
    funded, terms = view.option(tag.id).funded, view.case.options[tag.id].funding.loan
    if funded is None or terms is None or funded.loan_payment is None:
        return ""
    cents, money = view.formats.cents, view.formats.money
    left = funded.debt_at_end or 0.0
    owed = f"; {money(left)} is still owed at the end of the years counted" if left else ""
    return (
        f"A loan is paid off at {cents(funded.loan_payment)} a month for "
        f"{duration(terms.months)}, {money(funded.loan_interest)} of it interest{owed}."
    )


def reserve(view: View, tag: OptionTag) -> str:
    """Say how low the reserve gets and whether it holds the floor."""
    funded, club = view.option(tag.id).funded, view.club
    if club is None or funded is None or funded.lowest_balance is None:
        return ""
    money, as_of = view.formats.money, view.case.scenario.as_of
    lowest = f"{money(funded.lowest_balance)} in {month(as_of, funded.lowest_balance_month or 0)}"
    if funded.below_floor_month is not None:
        when = month(as_of, funded.below_floor_month)
        return (
            f"The reserve falls below its floor of {money(club.reserve_floor)} in {when}; "
            f"its lowest is {lowest}."
        )
    return (
        f"The reserve stays at or above its floor of {money(club.reserve_floor)}; lowest {lowest}."
    )


def raise_needed_until(view: View, tag: OptionTag) -> str:
    """Say which month decides a solved raise: after it the raise could end."""
    funded = view.option(tag.id).funded
    if funded is None or not funded.solve_month:
        return ""
    when = month(view.case.scenario.as_of, funded.solve_month)
    return f"The raise is set by {when}, the tightest month; until then it is needed."


def hours_needed(view: View, tag: OptionTag) -> str:
    """Say at which hours a year the option comes out even with the baseline."""
    option, value = view.option(tag.id), view.option(tag.id).break_even.hours_per_year
    likely = about(view.case.scenario.aircraft.hours_per_year.likely)
    if value is None:
        return HOURS_REASONS.get(option.break_even_why.get("hours_per_year", ""), "")
    hours = plural(value, "hour", "hours")
    span = f"from {hours} a year up"
    if option.break_even_side["hours_per_year"] == "at most":
        span = f"up to {hours} a year"
    return f"It comes out ahead {span} (likely: {likely})."


def extra_hours(view: View, tag: OptionTag) -> str:
    """Say how many more hours the option itself must bring, in the likely view."""
    option = view.option(tag.id)
    value, side = option.break_even.extra_hours_per_year, option.break_even_side
    if value is None or side["extra_hours_per_year"] != "at least":
        return ""
    likely = view.case.options[tag.id].after.hours_per_year_change.likely
    return (
        f"It takes {about(value)} more hours of flying a year for it to come out even; "
        f"the likely view counts on {about(likely)}."
    )


def joined_sentences(*sentences: str) -> str:
    """Put sentences behind one another, leaving out what there is nothing to say about."""
    return " ".join(sentence for sentence in sentences if sentence)


def break_even_text(formats: Formats, figures: OptionFigures, key: str, write: Write) -> str:
    """Word one break-even: "at least 88 hours", why there is none, or a dash where none applies."""
    why, value = figures.break_even_why.get(key), getattr(figures.break_even, key)
    if why:
        return REASONS[why]
    return NONE if value is None else f"{figures.break_even_side[key]} {write(formats, value)}"


def best_views(view: View) -> list[Best]:
    """Return, for each way of looking at it, the options that are best and by which figure.

    Facts, not advice: an option may lead in one view and trail in another.
    """
    likely = {tag.id: view.option(tag.id).likely for tag in view.tags.values()}
    money, years = view.formats.money, plural(view.figures.years, "year", "years")

    def least(label: str, values: dict[str, float | None], worded: Worded) -> Best | None:
        there = {key: value for key, value in values.items() if value is not None}
        lowest = min(there.values(), default=None)
        if lowest is None:
            return None
        tags = [view.tags[key] for key in view.tags if there.get(key) == lowest]
        return label, tags, worded(lowest)

    def ahead(loss: float) -> str:
        return f"{view.formats.change(-loss)} against “{view.baseline.title}”"

    found = [
        least("Least to pay up front", {k: e.upfront for k, e in likely.items()}, money),
        least(
            f"Most left after {years}, in today's money",
            {k: -e.npv_vs_baseline for k, e in likely.items()},
            ahead,
        ),
        least(
            "Least cost an hour flown",
            {k: e.cost_per_hour for k, e in likely.items()},
            lambda cost: f"{view.formats.cents(cost)} an hour",
        ),
        least(
            "Least time down",
            {k: _weeks(view, k) for k in likely},
            lambda span: plural(span, "week", "weeks") if span else "none",
        ),
    ]
    return [best for best in found if best]


def _weeks(view: View, option_id: str) -> float:
    schedule = view.case.options[option_id].schedule
    return schedule.weeks_down.likely if schedule else 0.0
