"""A page an option: story, figures, items, timing, what changes, and where inputs came from."""

import math

from panelworth.engine.results import OptionFigures
from panelworth.model.case import inputs_of, option_prefix
from panelworth.model.option import Item
from panelworth.model.scenario import Scenario
from panelworth.model.value import Quantity, exactly
from panelworth.publishing import raise_words, sentences
from panelworth.publishing.airplane.openings_words import for_option
from panelworth.publishing.airplane.when_words import planned_refused
from panelworth.publishing.caution_lines import MAINTENANCE, money_cautions
from panelworth.publishing.change_words import choice
from panelworth.publishing.compare_page import break_evens
from panelworth.publishing.figure_names import LIKELY, Figure
from panelworth.publishing.formats import day, duration, percent, plural
from panelworth.publishing.front_page import bill_lines
from panelworth.publishing.language import noted, say
from panelworth.publishing.ledger_words import (
    PURCHASE,
    SALE,
    already_paid,
    lapsed,
    shares,
    standing_price,
    stands_on,
)
from panelworth.publishing.level_words import cautions, moved_start, without_worth
from panelworth.publishing.prose import html_of
from panelworth.publishing.risk_words import below, budget, from_allowed_start, risk_range
from panelworth.publishing.sources import input_name, input_rows, swing_rows
from panelworth.publishing.view import OptionTag, Page, View

MOMENTS = {
    "order": noted("at the order"),
    "start": noted("at the start"),
    "finish": noted("at the finish"),
}


def option_page(view: View, tag: OptionTag) -> Page:
    """Make the page of one option."""
    option, figures = view.case.options[tag.id], view.option(tag.id)
    note = view.case.notes.get(tag.id, "")
    is_baseline = tag.id == view.figures.baseline
    return Page(
        file=tag.href,
        template="option.html",
        title=tag.title,
        nav="",
        door=(say("What does {option} give us?", option=tag.short), tag.title),
        description=option.summary or tag.title,
        content={
            "option": tag,
            "others": [each for each in view.tags.values() if each is not tag],
            "summary": option.summary,
            "lead": _lead(view, tag, is_baseline=is_baseline),
            "cards": _cards(view, tag),
            "story": html_of(note) if note else "",
            "timing": _timing(view, tag),
            "items": _items(view, tag),
            "totals": _totals(view, tag),
            "openings": for_option(view, tag),
            "changes": _changes(view, tag),
            "funding": sentences.funding(view, tag),
            "raise_until": raise_words.binds(view, tag),
            "bills": bill_lines(view, tag),
            "break_evens": break_evens(view, [tag]),
            "figures": [
                _figure_row(view, figure, figures)
                for figure in LIKELY
                if not ((is_baseline and figure.against) or (figure.of_club and not view.club))
            ],
            "swings": swing_rows(view, tag),
            "inputs": input_rows(view, _own_inputs(view, tag)),
            "cautions": [*money_cautions(view), *MAINTENANCE],
        },
    )


def _lead(view: View, tag: OptionTag, *, is_baseline: bool) -> list[str]:
    if is_baseline:
        compared = say("This is the baseline: the other options are compared with it.")
        told = [*([compared] if view.others else []), sentences.upfront(view, tag)]
        return [*told, *cautions(view, tag)]
    return [
        sentences.against_baseline(view, tag),
        *filter(None, [sentences.joined_sentences(risk_range(view, tag), without_worth(view))]),
        sentences.joined_sentences(sentences.upfront(view, tag), sentences.payback(view, tag)),
        sentences.joined_sentences(
            sentences.hours_needed(view, tag), sentences.extra_hours(view, tag)
        ),
        *cautions(view, tag),
        *filter(None, [moved_start(view, tag)]),
    ]


def _cards(view: View, tag: OptionTag) -> list[dict[str, str]]:
    likely, formats = view.option(tag.id).likely, view.formats
    found = view.uncertain(tag.id).range
    hour = {"value": formats.cents(likely.cost_per_hour), "note": below(view, found.cost_per_hour)}
    paid = {"value": formats.money(likely.upfront), "note": below(view, found.upfront)}
    cards = [
        {"label": say("up front"), **paid},
        {"label": say("an hour flown, all costs"), **hour},
    ]
    if view.club:
        value = formats.cents(likely.cost_per_member_month)
        cards.append({"label": say("a member a month, all costs"), "value": value})
    value = formats.money(likely.equivalent_annual_cost)
    cards.append({"label": say("a year, all costs"), "value": value})
    years = plural(view.figures.years, "year", "years")
    label = say("airplane's value after {years}", years=years)
    return [*cards, {"label": label, "value": formats.money(likely.end_value)}]


def _timing(view: View, tag: OptionTag) -> list[str]:
    schedule = view.case.options[tag.id].schedule
    said = [
        sentences.downtime(view, tag),
        planned_refused(view, tag),
        from_allowed_start(view, tag),
    ]
    if schedule and schedule.order:
        said.insert(0, say("It is ordered on {day}.", day=day(schedule.order)))
    return [each for each in said if each]


def _items(view: View, tag: OptionTag) -> list[dict[str, str]]:
    """List what is paid and what comes in, each with its price, tax and moment."""
    option, formats, scenario = view.case.options[tag.id], view.formats, view.case.scenario
    rows = [_item_row(view, tag, item) for item in option.items]
    for job in scenario.jobs:
        if job.name in option.jobs:
            path = f"{option_prefix(tag.id)}jobs[{job.name}]"
            now = view.case.job_prices.get(f"{path}.now", job.now)
            price = formats.quantity(standing_price(view, path, now), "money")
            row = _paid(job.name, price, say("small job, done while it is open"), "finish")
            rows.append(_where_on_the_ledger(view, row, path))
    if option.buy:
        path = f"{option_prefix(tag.id)}buy"
        price = formats.quantity(standing_price(view, path, option.buy.price), "money")
        row = _paid(say(PURCHASE), price, _taxed(option.buy.tax), option.buy.when)
        rows.append(_where_on_the_ledger(view, row, path))
    return [*rows, *_money_in(view, tag, scenario)]


def _paid(label: str, value: str, what: str, when: str) -> dict[str, str]:
    told = [what, say(MOMENTS[when])]
    return {"label": label, "value": value, "source": "; ".join(part for part in told if part)}


def _taxed(tax: Quantity) -> str:
    return say("tax {share} on top", share=percent(tax.likely)) if tax.high else ""


def _item_row(view: View, tag: OptionTag, item: Item) -> dict[str, str]:
    formats, path = view.formats, f"{option_prefix(tag.id)}items[{item.name}]"
    told = ["" if item.group == "other" else choice(item.group)]
    cost = item.cost or exactly(0.0)
    if item.hours is not None:
        rate = item.rate or exactly(0.0)
        cost = exactly(item.hours.likely * rate.likely)
        hours, hourly = formats.quantity(item.hours, "hours"), formats.quantity(rate, "money")
        told.append(say("{hours} hours at {rate}", hours=hours, rate=hourly))
    if item.member_hours:
        hours = plural(item.member_hours, "hour", "hours")
        told.append(say("{hours} of own work, unpaid", hours=hours))
    told.append(_taxed(item.tax))
    price = formats.quantity(standing_price(view, path, cost), "money")
    row = _paid(item.name, price, "; ".join(part for part in told if part), item.when)
    free = not cost.high and path not in view.case.standings
    return row if free else _with_paper(view, row, path, cost.source)


def _with_paper(view: View, row: dict[str, str], path: str, source: str) -> dict[str, str]:
    """Add what a price stands on, where the scenario has a ledger."""
    return {**row, "paper": stands_on(view, path, source)} if view.case.ledger else row


def _where_on_the_ledger(view: View, row: dict[str, str], path: str) -> dict[str, str]:
    """Add what a job, the purchase or the sale stands on, where the ledger has rows of it."""
    return _with_paper(view, row, path, "") if path in view.case.standings else row


def _money_in(view: View, tag: OptionTag, scenario: Scenario) -> list[dict[str, str]]:
    option, formats, rows = view.case.options[tag.id], view.formats, []
    if option.sell:
        price = formats.quantity(option.sell.price or scenario.aircraft.value, "money")
        cost = scenario.aircraft.selling_cost
        what = say("comes in")
        if cost.high:
            what = say("comes in, less {share} selling cost", share=percent(cost.likely))
        row = _paid(say(SALE), price, what, option.sell.when)
        rows.append(_where_on_the_ledger(view, row, f"{option_prefix(tag.id)}sell"))
    for credit in option.credits:
        path = f"{option_prefix(tag.id)}credits[{credit.name}]"
        amount = formats.quantity(standing_price(view, path, credit.amount), "money")
        row = _paid(credit.name, amount, say("comes in"), credit.when)
        rows.append(_with_paper(view, row, path, credit.amount.source))
    return rows


def _totals(view: View, tag: OptionTag) -> list[str]:
    """Say what the list adds up to, and what it leaves out."""
    likely, money = view.option(tag.id).likely, view.formats.money
    hours = math.fsum(item.member_hours for item in view.case.options[tag.id].items)
    first = noted("Likely prices, with their range. With tax, {sum} is to be paid.")
    said = [say(first, sum=money(likely.outlay))]
    said += [already_paid(view, tag), budget(view, tag), shares(view, tag), lapsed(view, tag)]
    if abs(likely.outlay - likely.upfront) >= sentences.CLOSE:
        said.append(say("What comes in leaves {sum} up front.", sum=money(likely.upfront)))
    if hours:
        give = noted("You give {hours} of unpaid work, which no figure counts.")
        if view.club:
            give = noted("Members give {hours} of unpaid work, which no figure counts.")
        said.append(say(give, hours=plural(hours, "hour", "hours")))
    return [line for line in said if line]


def _changes(view: View, tag: OptionTag) -> list[dict[str, str]]:
    """List what changes from the month after the finish: as it is today, then."""
    option, formats = view.case.options[tag.id], view.formats
    today = {each.path: each for each in inputs_of(view.case.scenario.aircraft)}
    rows = []
    for each in inputs_of(option.after):
        if f"{option_prefix(tag.id)}after.{each.path}" not in view.case.places:
            continue
        then = formats.quantity(each.quantity, each.unit)
        before, was = today.get(each.path), say("new")
        if before:
            was = say("today {value}", value=formats.quantity(before.quantity, before.unit))
        told = {"label": input_name(each), "source": f"{formats.unit(each.unit)}; {was}"}
        rows.append({**told, "value": then})
    falls = {"value": say("falls away"), "source": say("fixed cost")}
    rows += [{"label": name, **falls} for name in option.after.dropped_fixed]
    done = {"value": say("done"), "source": say("its clock restarts at the finish")}
    rows += [{"label": name, **done} for name in option.after.recurring_done]
    joined = option.members.joined
    if view.club and (joined.low or joined.high):
        over = option.members.over_months
        spread = say("over {time} from the finish", time=duration(over)) if over else say("at once")
        value = formats.quantity(joined, "people")
        rows.append({"label": say("Members gained or lost"), "value": value, "source": spread})
    return rows


def _figure_row(view: View, figure: Figure, figures: OptionFigures) -> dict[str, str]:
    value = figure.write(view.formats, getattr(figures.likely, figure.key))
    return {"label": say(figure.label), "value": value, "source": say(figure.meaning)}


def _own_inputs(view: View, tag: OptionTag) -> list[str]:
    """List the option's inputs that bear on money and time; units are for the airplane's pages."""
    prefix, option = option_prefix(tag.id), view.case.options[tag.id]
    paths = [each.path for each in inputs_of(option) if not each.path.startswith("installs[")]
    return [f"{prefix}{path}" for path in paths]
