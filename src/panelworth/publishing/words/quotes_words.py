"""What was offered, billed and paid, in words: what an option's sum rests on, and what moved."""

from collections.abc import Mapping, Sequence
from datetime import date

from panelworth.engine.results.figures import Account
from panelworth.publishing.formats import NONE, joined, near_day, percent, plural
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words, level_words
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.ledger_words import (
    besides_items,
    lapsed_things,
    parts_of,
    thing_name,
)
from panelworth.publishing.words.raise_words import up
from panelworth.publishing.words.sentences import CLOSE, joined_sentences

MOST = 3  # names told before "and 2 more"
SUMS = ("committed", "invoiced", "paid")
LEAST_SHARE = 0.005  # a smaller part would be told as 0 %
# What a part of an option's sum rests on, from the surest to a guess, in the order it is drawn.
RESTS_ON = {
    "invoice": N_("{share} invoiced"),
    "quote": N_("{share} quoted"),
    "estimate": N_("{share} estimated"),
    "written": N_("{share} on no paper"),
}

# What members are asked for: moved; no longer to be had; to be had again.
RAISES = {
    "dues_increase": (
        N_("Members are then asked for {now} a month more in dues, not {plan}."),
        N_("The raise in dues that was to hold the reserve above its floor no longer can."),
        N_("The raise in dues can hold the reserve above its floor again."),
    ),
    "hourly_rate_increase": (
        N_("Members are then asked for {now} an hour more, not {plan}."),
        N_("The raise an hour that was to hold the reserve above its floor no longer can."),
        N_("The raise an hour can hold the reserve above its floor again."),
    ),
    "assessment_per_member": (
        N_("Members are then asked for {now} each, once, not {plan}."),
        N_("The assessment that was to hold the reserve above its floor no longer can."),
        N_("The assessment can hold the reserve above its floor again."),
    ),
}


def with_rows(view: View) -> list[OptionTag]:
    """Return the options that the ledger has rows on."""
    there = {entry.option for entry in view.case.ledger}
    return [tag for tag in view.tags.values() if tag.id in there]


def lead(view: View) -> list[str]:
    """Say how many rows there are, what is paid, and which prices must be asked for again."""
    ledger, as_of = view.case.ledger, view.case.scenario.as_of
    rows = plural(len(ledger), "row", "rows")
    last = near_day(max(entry.date for entry in ledger), as_of)
    first = _("The ledger has {rows}, the last of {day}.", rows=rows, day=last)
    return [joined_sentences(first, *_paid(view)), *_again(view)]


def _paid(view: View) -> list[str]:
    sums = {tag: _paid_for(view, tag) for tag in with_rows(view)}
    paid = [
        _("{sum} is paid for {option}.", sum=view.formats.money(found), option=tag.short)
        for tag, found in sums.items()
        if found >= CLOSE
    ]
    return paid or [_("Nothing is paid yet.")]


def _paid_for(view: View, tag: OptionTag) -> float:
    return view.option(tag.id).likely.outlay - view.figures.underway[tag.id].to_pay


def _again(view: View) -> list[str]:
    """Name the papers that have lapsed, option by option."""
    return [
        ngettext(
            "Ask again for {names} ({option}): the quote has lapsed and still counts here.",
            "Ask again for {names} ({option}): the quotes have lapsed and still count here.",
            len(found),
        ).format(names=_some(found), option=tag.short)
        for tag in with_rows(view)
        if (found := lapsed_things(view, tag))
    ]


def _some(named: Sequence[str]) -> str:
    """Name the first few, and how many more there are."""
    told, more = list(named[:MOST]), len(named) - MOST
    if more > 0:
        return _("{names} and {count} more", names=", ".join(told), count=more)
    return joined(told)


def comes_to(view: View, tag: OptionTag) -> str:
    """Write what an option likely comes to as planned, no finer than it is sure."""
    return grant_words.told(view, tag, view.option(tag.id).likely.outlay)


def from_allowed(view: View, tag: OptionTag) -> str:
    """Warn that the plan is refused, and say what the first allowed start comes to."""
    later = level_words.allowed(view, tag)
    if later is None:
        return ""
    return _(
        "Cannot start as planned; from {day} it comes to {sum}.",
        day=near_day(date.fromisoformat(later.start), view.case.scenario.as_of),
        sum=grant_words.likely(view, tag),
    )


def shares_of(view: View, tag: OptionTag) -> Mapping[str, float]:
    """Split an option's likely sum by what it rests on, as shares of 1."""
    outlay = view.option(tag.id).likely.outlay
    if outlay < CLOSE:
        return {}
    shares = {kind: part / outlay for kind, part in parts_of(view, tag).items()}
    return {kind: shares[kind] for kind in RESTS_ON if shares.get(kind, 0.0) >= LEAST_SHARE}


def rests_on(view: View, tag: OptionTag) -> str:
    """Say which part is invoiced, quoted, estimated, or on no paper."""
    told = [
        _(RESTS_ON[kind], share=percent(share, 0)) for kind, share in shares_of(view, tag).items()
    ]
    return f"{', '.join(told)}." if told else _("Nothing to be paid.")


def moved(view: View) -> list[str]:
    """Say how far each option has moved from its plan, and by what most; the unmoved as one."""
    gone = {tag: _moved_by(view, tag) for tag in with_rows(view)}
    held = [tag for tag, change in gone.items() if abs(change) < CLOSE and not _drifted(view, tag)]
    said = [_moved(view, tag, change) for tag, change in gone.items() if tag not in held]
    if held:
        said.append(
            ngettext(
                "{options} stands as planned.", "{options} stand as planned.", len(held)
            ).format(options=names(held))
        )
    return said


def _moved_by(view: View, tag: OptionTag) -> float:
    return view.option(tag.id).likely.outlay - view.figures.underway[tag.id].planned_outlay


def _moved(view: View, tag: OptionTag, change: float) -> str:
    money = view.formats.money
    words = {"option": tag.short, "plan": money(view.figures.underway[tag.id].planned_outlay)}
    if abs(change) < CLOSE:
        first = _("{option} still comes to its plan, {plan}.", **words)
    elif change > 0:
        first = _("{option}: {sum} over its plan of {plan}.", sum=money(change), **words)
    else:
        first = _("{option}: {sum} under its plan of {plan}.", sum=money(-change), **words)
    found = _drifted(view, tag)
    if not found:
        return joined_sentences(first, _asked(view, tag))
    most = view.formats.change(found[0].likely - found[0].planned)
    item = _("Most of it: {item}, {sum}.", item=found[0].name, sum=most)
    return joined_sentences(first, item, _asked(view, tag))


def _drifted(view: View, tag: OptionTag) -> list[Account]:
    """Return the items that have moved from the plan, the largest move first."""
    items = view.figures.underway[tag.id].items
    gone = [each for each in items if abs(each.likely - each.planned) >= CLOSE]
    return sorted(gone, key=lambda each: -abs(each.likely - each.planned))


def _asked(view: View, tag: OptionTag) -> str:
    """Say what the move does to what members are asked for, in whole units of money.

    Nothing of an option that is refused as planned: its raises are those of another start.
    """
    now, before = view.option(tag.id).funded, view.figures.underway[tag.id].planned_funded
    if not view.club or now is None or before is None or level_words.refused(view, tag):
        return ""
    said = []
    for key, (becomes, no_longer, again) in RAISES.items():
        value, plan = getattr(now, key), getattr(before, key)
        if value is None or plan is None:
            said += [_(no_longer if value is None else again)] if value != plan else []
        elif up(view, value) != up(view, plan):
            said.append(_(becomes, now=up(view, value), plan=up(view, plan)))
    return joined_sentences(*said)


def item_head() -> list[str]:
    """Head the columns of an option's items."""
    return [
        _("Item"),
        _("Plan"),
        _("Now"),
        _("Quoted or invoiced"),
        _("Invoiced"),
        _("Paid"),
    ]


def item_rows(view: View, tag: OptionTag) -> list[list[str]]:
    """Return the items with rows, then money in, then jobs and purchase: sums with tax."""
    found, money = view.figures.underway[tag.id], view.formats.money
    rows = [
        [
            each.name,
            *(money(getattr(each, key)) for key in ("planned", "likely", *SUMS)),
        ]
        for each in (*found.items, *found.money_in)
        if each.path in view.case.standings
    ]
    for each in besides_items(view, tag):
        if each.price is not None:
            now = money(each.current(each.price.likely) * (1.0 + each.tax))
            rows.append([thing_name(each), NONE, now, NONE, NONE, money(each.paid)])
    return rows
