"""Warnings about options: weeks, changes after the finish, members, raises, loans, prices."""

from collections.abc import Iterator

from panelworth.model.case import Case, option_prefix
from panelworth.model.dates import DAYS_IN_A_WEEK
from panelworth.model.ledger_targets import named_options
from panelworth.model.names import folded, short_names
from panelworth.model.option import Option
from panelworth.model.scenario import HALF_A_CENT
from panelworth.model.value import Quantity
from panelworth.plausible import limits
from panelworth.plausible.airplane import apart
from panelworth.plausible.warning import (
    likely_current_price,
    likely_outlay,
    plain,
    targets,
    warning_at,
)
from panelworth.problems import Problem, did_you_mean, listed

OFFERS = ("quote", "estimate")  # the rows that an option's supplier selects


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of values of each option that are probably mistakes."""
    yield from _baseline(case)
    yield from _short_names(case)
    for option_id, option in case.options.items():
        prefix = option_prefix(option_id)
        yield from _weeks(case, prefix, option)
        yield from _hours(case, prefix, option)
        yield from _people(case, prefix, option)
        yield from _raises(case, prefix, option)
        yield from _loan(case, option_id, option)
        yield from _prices(case, prefix, option)
        yield from _suppliers(case, option_id, option)


def _suppliers(case: Case, option_id: str, option: Option) -> Iterator[Problem]:
    """Warn of a supplier who offered nothing while others did: all their quotes count in nothing.

    Most often a name is written in two ways, and the prices are guesses again without a sign.
    """
    known = {
        folded(row.supplier): row.supplier
        for row in case.ledger
        if row.kind in OFFERS and option_id in named_options(row.option, case.options)
    }
    prefix = option_prefix(option_id)
    stated = {f"{prefix}items[{item.name}].supplier": item.supplier for item in option.items}
    for path, supplier in ({f"{prefix}supplier": option.supplier} | stated).items():
        if supplier and any(known) and folded(supplier) not in known:
            names = [name for name in known.values() if name]
            hint = did_you_mean(supplier, names, f"there is {listed(names)}")
            expected = f"a supplier with a quote or an estimate for {option_id} in the ledger"
            yield warning_at(case, path, expected, f'"{supplier}"', hint)


def _baseline(case: Case) -> Iterator[Problem]:
    """Warn of a baseline that is a project although an option keeps the airplane as it is."""
    baseline = case.options[case.scenario.baseline]
    keeps = [option_id for option_id, option in case.options.items() if option.is_status_quo]
    if keeps and not baseline.is_status_quo:
        expected = 'an option with kind = "keep", what happens if nothing is decided'
        found = f'"{case.scenario.baseline}" with kind = "{baseline.kind}"'
        hint = f'did you mean "{keeps[0]}"? every figure is a difference to the baseline'
        yield warning_at(case, "baseline", expected, found, hint)


def _short_names(case: Case) -> Iterator[Problem]:
    """Warn of a short name that another option has too: pages then use the ids of both."""
    names = {key: (option.short, option.title) for key, option in case.options.items()}
    for option_id, name in short_names(names).items():
        written = case.options[option_id].short
        if written and name != written:
            expected = "a short name that no other option has"
            hint = f'until then pages call it "{name}"'
            yield warning_at(
                case, f"{option_prefix(option_id)}short", expected, f'"{written}"', hint
            )


def _weeks(case: Case, prefix: str, option: Option) -> Iterator[Problem]:
    """Warn of weeks that look like days: too many, or a range of multiples of 7."""
    if option.schedule is None:
        return
    most = {"weeks_down": limits.WEEKS_DOWN, "lead_weeks": limits.LEAD_WEEKS}
    for key, limit in most.items():
        weeks: Quantity = getattr(option.schedule, key)
        ends = sorted({weeks.low, weeks.likely, weeks.high})
        multiples = len(ends) > 1 and all(number % DAYS_IN_A_WEEK == 0 for number in ends)
        if weeks.likely > limit or (multiples and weeks.likely >= limits.LEAST_DAYS):
            expected = f"weeks, at most {limit:g}" if weeks.likely > limit else "weeks"
            found = f"{plain(weeks.likely)}, which looks like days"
            hint = f"{plain(weeks.likely)} days are {plain(weeks.likely / DAYS_IN_A_WEEK)} weeks"
            yield warning_at(case, f"{prefix}schedule.{key}", expected, found, hint)


def _hours(case: Case, prefix: str, option: Option) -> Iterator[Problem]:
    """Warn of added hours that look like a new total, and of too many hours lost."""
    today, after = case.scenario.aircraft, option.after
    stated, lost = after.new("hours_per_year"), after.new("hours_lost_per_year")
    wanted = (stated or today.hours_per_year).likely
    change = after.hours_per_year_change.likely
    if wanted and change >= limits.CHANGE_SHARE * wanted:
        expected = f"the hours added to {plain(wanted)} a year"
        hint = f"if {plain(change)} is the new total, write {plain(change - wanted)}"
        path = f"{prefix}after.hours_per_year_change"
        yield warning_at(case, path, expected, plain(change), hint)
    elif wanted and lost is not None and lost.likely > limits.LOST_SHARE * (wanted + change):
        expected = f"at most half of the {plain(wanted + change)} hours that would be flown"
        hint = "write the hours still lost after the finish, not those flown"
        path = f"{prefix}after.hours_lost_per_year"
        yield warning_at(case, path, expected, plain(lost.likely), hint)


def _people(case: Case, prefix: str, option: Option) -> Iterator[Problem]:
    """Warn of members gained that look like a new total."""
    club, joined = case.scenario.club, option.members.joined.likely
    if club and joined >= club.members:
        expected = f"the members gained by the option, less than the {club.members} there are"
        hint = f"if {plain(joined)} is the new total, write {plain(joined - club.members)}"
        yield warning_at(case, f"{prefix}members.joined", expected, plain(joined), hint)


def _raises(case: Case, prefix: str, option: Option) -> Iterator[Problem]:
    """Warn of an increase that looks like the new dues or the new rate."""
    club, funding = case.scenario.club, option.funding
    if club is None:
        return
    rate = (option.after.new("hourly_rate") or case.scenario.aircraft.hourly_rate).likely
    raises = {
        "dues_increase": (funding.dues_increase, club.dues_per_month.likely),
        "hourly_rate_increase": (funding.hourly_rate_increase, rate),
    }
    for key, (increase, today) in raises.items():
        if today and increase >= limits.RAISE_SHARE * today:
            expected = f"what is added to today's {plain(today)}"
            hint = f"if {plain(increase)} is the new sum, write {plain(increase - today)}"
            yield warning_at(case, f"{prefix}funding.{key}", expected, plain(increase), hint)


def _loan(case: Case, option_id: str, option: Option) -> Iterator[Problem]:
    """Warn of a loan above what is likely still to pay, after the payments in the ledger."""
    loan, prefix = option.funding.loan, option_prefix(option_id)
    if loan is None or loan.amount is None:
        return
    to_pay = likely_outlay(case, option_id)
    for target in targets(case, option_id):
        status = case.ledger_statuses.get(target.path)
        if status and not status.comes_in:
            current = likely_current_price(case, option_id, target)
            # A payment above the price, which plausible/ledger.py reports, pays for nothing else.
            to_pay -= max(0.0, min(status.paid, current))
    if loan.amount > to_pay + HALF_A_CENT:
        expected = f"at most what is likely still to pay, {plain(to_pay)}"
        hint = "lower it, or write share = 1.0 to borrow all of it"
        path = f"{prefix}funding.loan.amount"
        yield warning_at(case, path, expected, plain(loan.amount), hint)


def _prices(case: Case, prefix: str, option: Option) -> Iterator[Problem]:
    """Warn of a sale price far from the airplane's value, and of a policy that does not fit."""
    value = case.scenario.aircraft.value.likely
    if (
        option.sell
        and option.sell.price
        and apart(option.sell.price.likely, value, limits.SALE_TIMES)
    ):
        price = option.sell.price.likely
        expected = f"a price near the airplane's value of {plain(value)}"
        hint = "check that both are in whole units of money, not in thousands"
        yield warning_at(case, f"{prefix}sell.price", expected, plain(price), hint)
    yield from _insured(case, prefix, option)


def _insured(case: Case, prefix: str, option: Option) -> Iterator[Problem]:
    """Warn of a policy that does not fit the airplane after the finish."""
    stated: Quantity | None = option.after.new("insurance.agreed_value")
    today, bought = case.scenario.aircraft, option.buy
    worth = bought.price.likely if bought else today.value.likely
    path = f"{prefix}after.insurance.agreed_value"
    hint = "write the new policy's agreed_value under after.insurance"
    if stated and apart(stated.likely, worth, limits.AGREED_TIMES):
        expected = f"a sum near what the airplane is worth then, {plain(worth)}"
        yield warning_at(case, path, expected, plain(stated.likely), hint)
    agreed = today.insurance.agreed_value.likely
    if bought and stated is None and apart(agreed, worth, limits.INHERITED_TIMES):
        expected = f"the agreed value of the airplane that is bought for {plain(worth)}"
        yield warning_at(case, path, expected, f"today's {plain(agreed)}, which goes on", hint)
