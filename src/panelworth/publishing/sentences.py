"""Figures put into plain sentences: plurals, signs, "about", "never"; no figure without its basis.

Every function returns finished sentences; none recommends anything.
"""

from panelworth.engine.results import OptionFigures
from panelworth.model.option import Schedule
from panelworth.publishing import level_words, raise_words
from panelworth.publishing.figure_names import Write
from panelworth.publishing.formats import (
    NONE,
    Formats,
    day,
    duration,
    joined,
    month,
    number,
    plural,
)
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, View

CLOSE = level_words.CLOSE
REASONS = {
    "pays at any value": noted("any value from 0 up"),
    "never pays": noted("no value from 0 up"),
    "no effect": noted("makes no difference"),
}
SIDES = {
    "at least": noted("at least {value}"),
    "at most": noted("at most {value}"),
    "": noted("touches at {value}"),
}
# To whom an option brings it, a club's members or one owner; and whether more than the baseline.
BRINGS = {
    (True, True): noted(
        "Over {years} it likely brings members {sum} more than “{baseline}”, in today's money."
    ),
    (True, False): noted(
        "Over {years} it likely brings members {sum} less than “{baseline}”, in today's money."
    ),
    (False, True): noted(
        "Over {years} it likely brings you {sum} more than “{baseline}”, in today's money."
    ),
    (False, False): noted(
        "Over {years} it likely brings you {sum} less than “{baseline}”, in today's money."
    ),
}


def upfront(view: View, tag: OptionTag) -> str:
    """Say what has to be paid, and what comes in against it."""
    likely, money = view.option(tag.id).likely, view.formats.money
    back = likely.outlay - likely.upfront
    outlay, brought = money(likely.outlay), money(back)
    if likely.outlay < CLOSE:
        if back < CLOSE:
            return say("Nothing is paid up front.")
        return say("Nothing is paid up front; sales and credits bring in {back}.", back=brought)
    if abs(back) < CLOSE:
        return say("Up front it takes {outlay}.", outlay=outlay)
    if likely.upfront < 0:
        return say(
            "It takes {outlay}; sales and credits bring in {back}.", outlay=outlay, back=brought
        )
    return say(
        "Up front it takes {sum}: {outlay} to pay, less {back} from sales and credits.",
        sum=money(likely.upfront),
        outlay=outlay,
        back=brought,
    )


def against_baseline(view: View, tag: OptionTag) -> str:
    """Say what an option brings against the baseline, how sure that is, and what it rests on."""
    return joined_sentences(
        brings(view, tag),
        level_words.sure(view, tag),
        level_words.from_allowed(view, tag),
        level_words.without_growth(view, tag),
    )


def brings(view: View, tag: OptionTag) -> str:
    """Say what an option likely brings against the baseline, from its first allowed start."""
    gain, money = level_words.net_benefit(view, tag), view.formats.money
    years, baseline = plural(view.figures.years, "year", "years"), view.baseline.title
    if abs(gain) < CLOSE:
        return say(
            "Over {years} it likely brings as much as “{baseline}”, in today's money.",
            years=years,
            baseline=baseline,
        )
    told = BRINGS[view.club is not None, gain > 0]
    return say(told, years=years, sum=money(abs(gain)), baseline=baseline)


def payback(view: View, tag: OptionTag) -> str:
    """Say when what was put in is back for good; an airplane's resale is not in it."""
    likely = view.option(tag.id).likely
    months, first = likely.payback_months, likely.first_payback_months
    years = plural(view.figures.years, "year", "years")
    told = noted("Counting what the hours are worth, it has paid itself back after {time}.")
    if months is None and first is None:
        told = noted("Counting what the hours are worth, it never pays back within {years}.")
    elif months is None and first == 0:
        told = noted(
            "Counting what the hours are worth, it is ahead at first, but not to the end of the "
            "{years}."
        )
    elif months is None:
        told = noted(
            "Counting what the hours are worth, it is ahead after {time} for a while, but not to "
            "the end of the {years}."
        )
    elif months == 0:
        told = noted("Counting what the hours are worth, it is never behind.")
    return say(told, years=years, time=duration(first if months is None else months))


def downtime(view: View, tag: OptionTag) -> str:
    """Say when the airplane is away and for how long, with the range."""
    option = view.case.options[tag.id]
    schedule, series = option.schedule, view.series(tag.id)
    if schedule is None and option.kind == "keep":
        return say("The airplane stays in service.")
    if schedule is None or schedule.weeks_down.high == 0:
        return say("It takes effect on {day}, with no time down.", day=day(series.start))
    gone = noted("The airplane is down from {start} for likely {weeks}, until {finish}.")
    if option.kind == "replace":
        gone = noted("You are without an airplane from {start} for likely {weeks}, until {finish}.")
        if view.club:
            gone = noted(
                "The club has one airplane less from {start} for likely {weeks}, until {finish}."
            )
        elif others_remain(view):
            gone = noted(
                "You have one airplane less from {start} for likely {weeks}, until {finish}."
            )
    start, finish = day(series.start), day(series.finish)
    return say(gone, start=start, weeks=weeks(schedule), finish=finish)


def others_remain(view: View) -> bool:
    """Say whether anything is left to fly while today's airplane is gone: a club's, a fleet's."""
    return view.club is not None or bool(view.case.fleet and view.case.fleet.aircraft)


def weeks(schedule: Schedule) -> str:
    """Write the weeks down with their range."""
    span = schedule.weeks_down
    text = plural(span.likely, "week", "weeks")
    if span.certain:
        return text
    low, high = number(span.low), number(span.high)
    return say("{likely} ({low} to {high})", likely=text, low=low, high=high)


def funding(view: View, tag: OptionTag) -> str:
    """Say how the club pays for it and what is asked of members."""
    funded = level_words.funded(view, tag)
    if funded is None or funded.lowest_balance is None:
        return loan(view, tag)
    return joined_sentences(loan(view, tag), asked(view, tag), reserve(view, tag))


def asked(view: View, tag: OptionTag) -> str:
    """Say what is asked of members: the option's own rate, the raises, or that none can do."""
    if level_words.funded(view, tag) is None or view.club is None:
        return ""
    own, sums, failed = own_rate(view, tag), raise_words.raises(view, tag), ""
    if raise_words.solved_kind(view, tag) and raise_words.solved_amount(view, tag) is None:
        failed = say("No raise of the kind asked for keeps the reserve above its floor.")
    said = ""
    if sums:
        said = say("Members pay {sums}.", sums=joined(sums))
        said = joined_sentences(said, raise_words.as_planned(view, tag))
    elif not failed:
        said = say("Beyond that members are asked for nothing.") if own else ""
        said = said or say("Members are asked for nothing extra.")
    return joined_sentences(own, said, failed)


def own_rate(view: View, tag: OptionTag) -> str:
    """Say the hourly rate that an option itself brings; nothing where it stays."""
    today, cents = view.case.scenario.aircraft.hourly_rate.likely, view.formats.cents
    rate = view.case.options[tag.id].after.new("hourly_rate")
    if rate is None or rate.likely == today:
        return ""
    return say(
        "Its own hourly rate is {rate}, today's {today}.",
        rate=cents(rate.likely),
        today=cents(today),
    )


def loan(view: View, tag: OptionTag) -> str:
    """Say what a loan costs a month and in all."""
    funded, terms = level_words.funded(view, tag), view.case.options[tag.id].funding.loan
    if funded is None or terms is None or funded.loan_payment is None:
        return ""
    cents, money = view.formats.cents, view.formats.money
    paid = noted("A loan is paid off at {sum} a month for {time}, {interest} of it interest.")
    if funded.debt_at_end:
        paid = noted(
            "A loan is paid off at {sum} a month for {time}, {interest} of it interest; {left} is "
            "still owed at the end of the years counted."
        )
    return say(
        paid,
        sum=cents(funded.loan_payment),
        time=duration(terms.months),
        interest=money(funded.loan_interest),
        left=money(funded.debt_at_end),
    )


def reserve(view: View, tag: OptionTag) -> str:
    """Say how low the reserve gets and whether it holds the floor."""
    funded, club = level_words.funded(view, tag), view.club
    if club is None or funded is None or funded.lowest_balance is None:
        return ""
    money, as_of = view.formats.money, view.case.scenario.as_of
    floor, lowest = money(club.reserve_floor), money(funded.lowest_balance)
    when = month(as_of, funded.lowest_balance_month or 0)
    if funded.below_floor_month is None:
        return say(
            "In the likely view the reserve stays at or above its floor of {floor}; lowest "
            "{lowest} in {when}.",
            floor=floor,
            lowest=lowest,
            when=when,
        )
    return say(
        "The reserve falls below its floor of {floor} in {month}; its lowest is {lowest} in "
        "{when}.",
        floor=floor,
        month=month(as_of, funded.below_floor_month),
        lowest=lowest,
        when=when,
    )


def joined_sentences(*sentences: str) -> str:
    """Put sentences behind one another, leaving out what there is nothing to say about."""
    return " ".join(sentence for sentence in sentences if sentence)


def break_even_text(formats: Formats, figures: OptionFigures, key: str, write: Write) -> str:
    """Word one break-even: "at least 88 hours", why there is none, or a dash where none applies."""
    why, value = figures.break_even_why.get(key), getattr(figures.break_even, key)
    if why:
        return say(REASONS[why])
    if value is None:
        return NONE
    side = figures.break_even_side[key]
    if key == "resale_recovery" and value > 1.0 and side == "at least":
        return say("no value up to {most}", most=write(formats, 1.0))
    return say(SIDES[side], value=write(formats, value))
