"""The raise and the reserve in words: what was asked for, what else would do it, how it holds."""

from datetime import date

from panelworth.model.dates import month_index
from panelworth.model.option import Option
from panelworth.model.scenario import HALF_A_CENT, MONTHS
from panelworth.publishing import level_words, raise_words, sentences
from panelworth.publishing.formats import (
    day,
    duration,
    fixed,
    floored,
    joined,
    month,
    percent,
)
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, View

NOT_FOUND = {
    "dues": noted("No raise in dues holds the floor of {floor} {chance}, through {month}."),
    "hourly_rate": noted("No raise an hour holds the floor of {floor} {chance}, through {month}."),
    "assessment": noted(
        "No sum paid once by each member holds the floor of {floor} {chance}, through {month}."
    ),
}
TWENTY, HUNDRED = 20, 100
SMALLEST = 1.0  # of a unit of money, in sums over all the years


def chance_asked(option: Option) -> str:
    """Say in how many futures a raise was asked to hold: "in 16 of 20 futures"."""
    chance = option.funding.solve_chance
    for futures in (TWENTY, HUNDRED):
        held = chance * futures
        if abs(held - round(held)) < 1e-9:  # noqa: PLR2004 (floating point's residue)
            return say("in {count} of {all} futures", count=round(held), all=futures)
    return say("in {share} of futures", share=percent(chance))


def asked(view: View, tag: OptionTag) -> list[str]:
    """Say in paragraphs what members are asked for, and what a raise that was worked out rests on.

    Beside such a raise its chance is what was asked for, never a finding.
    """
    if view.club is None or level_words.funded(view, tag) is None:
        return []
    found, kind = raise_words.raises(view, tag), raise_words.solved_kind(view, tag)
    pay = say("Members pay {sums}.", sums=joined(found)) if found else ""
    if not found and not kind:
        pay = say("Members are asked for nothing extra.")
    own, planned = sentences.own_rate(view, tag), raise_words.as_planned(view, tag)
    told = [
        sentences.joined_sentences(own, pay, planned),
        *(_solved(view, tag, kind) if kind else []),
    ]
    return [each for each in told if each]


def _solved(view: View, tag: OptionTag, kind: str) -> list[str]:
    option, club, amount = (
        view.case.options[tag.id],
        view.club,
        raise_words.solved_amount(view, tag),
    )
    floor = view.formats.money(club.reserve_floor if club else 0.0)
    names = {"floor": floor, "chance": chance_asked(option), "month": _floor_end(view)}
    if amount is None:
        shown = say("The reserve is shown without such a raise, and nobody's bill is known.")
        return [say(NOT_FOUND[kind], **names), shown, once(view, tag)]
    if amount == 0.0:
        return [
            say(
                "Asked for: the floor of {floor} holds {chance}, through {month}. No raise is "
                "needed for that.",
                **names,
            )
        ]
    basis = say(
        "Asked for: the reserve holds its floor of {floor} {chance}, through {month}. That it does "
        "is what was asked for, not a finding. The raise is {sum} to the cent.",
        **names,
        sum=view.formats.cents(amount),
    )
    when = sentences.joined_sentences(raise_words.binds(view, tag), once(view, tag))
    return [basis, when, _likely(view, tag, amount)]


def _floor_end(view: View) -> str:
    scenario = view.case.scenario
    return month(scenario.as_of, MONTHS * scenario.floor_years)


def once(view: View, tag: OptionTag) -> str:
    """Say what each member would pay once in place of a raise by the month or hour."""
    funded, kind = level_words.funded(view, tag), raise_words.solved_kind(view, tag)
    if funded is None or kind in {"", "assessment"} or raise_words.solved_amount(view, tag) == 0.0:
        return ""
    if funded.solve_once is None:
        return say("No sum paid once would hold the floor as often.")
    told = noted(
        "In place of the raise an hour, {sum} each, paid once in {month}, would hold the floor as "
        "often."
    )
    if kind == "dues":
        told = noted(
            "In place of the raise in dues, {sum} each, paid once in {month}, would hold the floor "
            "as often."
        )
    sum_, when = raise_words.up(view, funded.solve_once), month(view.case.scenario.as_of, 0)
    said = say(told, sum=sum_, month=when)
    if not funded.assessment_per_member:
        return said
    stated = view.formats.measure(funded.assessment_per_member, "money")
    beside = say("It comes on top of the {sum} that is asked for once.", sum=stated)
    return sentences.joined_sentences(said, beside)


def _likely(view: View, tag: OptionTag, amount: float) -> str:
    """Say what the likely view alone would ask, and that less breaks the floor more often."""
    funded = level_words.funded(view, tag)
    likely = funded.solve_likely if funded else None
    if likely is None:
        return say("In the likely view alone no raise of this kind would do.")
    if likely >= amount - HALF_A_CENT:
        return say("The likely view alone would ask for {sum}.", sum=raise_words.up(view, likely))
    if likely == 0.0:
        return say(
            "The likely view alone would ask for no raise, and the floor would break more often "
            "than was asked for."
        )
    return say(
        "The likely view alone would ask for {sum}, and with it the floor would break more often "
        "than was asked for.",
        sum=raise_words.up(view, likely),
    )


def breaks(view: View, tag: OptionTag) -> str:
    """Say how often the floor breaks by the end of the years it must hold, and by the horizon."""
    trials, scenario = level_words.drawn(view, tag).reserve, view.case.scenario
    if trials is None:
        return ""
    by_year, years = trials.chance_below_floor_by_year, scenario.floor_years
    by, end = (month(scenario.as_of, MONTHS * each) for each in (years, scenario.years))
    within, whole = (of_hundred(by_year[each - 1]) for each in (years, scenario.years))
    if years == scenario.years:
        return say("By {month} the floor is broken in {chance} futures.", month=by, chance=within)
    said = say(
        "By {month} the floor is broken in {within} futures, by {end} in {whole}.",
        month=by,
        within=within,
        end=end,
        whole=whole,
    )
    if not raise_words.solved_kind(view, tag):
        return said
    return f"{said} {say('After {month} nothing is asked to hold it.', month=by)}"


def of_hundred(share: float) -> str:
    """Write a share of the trials: "20 of 100"; never 0 or 100 where it is not quite so."""
    count = round(share * HUNDRED)
    if share > 0.0 and count == 0:
        return say("less than 1 of 100")
    if share < 1.0 and count == HUNDRED:
        return say("more than 99 of 100")
    return say("{count} of 100", count=count)


def shortfall(view: View, tag: OptionTag) -> str:
    """Say how far below the floor the reserve falls in half of the futures that break it."""
    trials = level_words.drawn(view, tag).reserve
    if trials is None or trials.shortfall_p50 is None:
        return ""
    return say(
        "Where it breaks by {month}, the reserve falls {sum} or more below the floor in half of "
        "these futures.",
        month=_floor_end(view),
        sum=view.formats.money(trials.shortfall_p50),
    )


def borrowing(view: View, tag: OptionTag) -> str:
    """Say what borrowing itself costs, and how well the club's cash covers its payments."""
    funded = level_words.funded(view, tag)
    if funded is None or funded.loan_payment is None:
        return ""
    worth, money = view.option(tag.id).likely.loan_npv, view.formats.money
    if abs(worth) < SMALLEST:
        cost = say("Borrowing itself costs nothing in today's money.")
    elif worth < 0:
        cost = say(
            "Borrowing itself costs {sum} in today's money: what is paid back less what is "
            "borrowed.",
            sum=money(-worth),
        )
    else:
        cost = say(
            "Borrowing itself brings {sum} in today's money: its rate is below what money is worth "
            "over time here.",
            sum=money(worth),
        )
    return " ".join(part for part in (cost, coverage(view, tag)) if part)


def coverage(view: View, tag: OptionTag) -> str:
    """Say in which year the club's cash covers the loan's payments least, and who decides."""
    funded = level_words.funded(view, tag)
    if funded is None or funded.lowest_coverage is None or funded.lowest_coverage_year is None:
        return ""
    return say(
        "In year {year} of the likely view what the club takes in, less what it spends, covers the "
        "loan's payments {times} times: the least of all years. Lenders ask for a figure of their "
        "own, and the lender decides.",
        year=funded.lowest_coverage_year,
        times=fixed_down(funded.lowest_coverage),
    )


def fixed_down(value: float) -> str:
    """Write a coverage rounded down to a hundredth: it never looks better than it is.

    >>> fixed_down(0.1299), fixed_down(-0.351)
    ('0.12', '−0.36')
    """
    return fixed(floored(value, 2), 2)


def paid_back(view: View, tag: OptionTag) -> str:
    """Say how long a loan runs, and from when to when where it is drawn as planned."""
    course = view.series(tag.id).loan
    if course is None:
        return ""
    as_of, payments = view.case.scenario.as_of, len(course.payments)
    if level_words.allowed(view, tag):
        return say("The loan runs {time}.", time=duration(payments))
    return say(
        "The loan runs {time}, from {first} through {last}.",
        time=duration(payments),
        first=month(as_of, course.drawn_month + 1),
        last=month(as_of, course.drawn_month + payments),
    )


def project_days(view: View, tag: OptionTag) -> str:
    """Say when the airplane is away; nothing where it stays."""
    start, finish = away(view, tag)
    if start == finish:
        return ""
    return say("The project runs from {start} to {finish}.", start=day(start), finish=day(finish))


def away(view: View, tag: OptionTag) -> tuple[str, str]:
    """Return start and likely finish, of the first allowed start where the plan is refused."""
    there = level_words.allowed(view, tag) or view.series(tag.id)
    return there.start, there.finish


def months_later(view: View, tag: OptionTag) -> int:
    """Return by how many months the first allowed start is later than planned; 0 as planned."""
    as_of, planned = view.case.scenario.as_of, view.series(tag.id).start
    return month_index(as_of, date.fromisoformat(away(view, tag)[0])) - month_index(
        as_of, date.fromisoformat(planned)
    )
