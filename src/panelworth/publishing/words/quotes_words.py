"""Sentences on quotes, bills and payments: the papers behind a cost, and the changes."""

from collections.abc import Sequence

from panelworth.engine.results.figures import (
    Account,
    ProjectProgress,
)
from panelworth.publishing.formats import NONE, joined, near_day, percent, plural
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.ledger_words import lapsed_things, thing_name
from panelworth.publishing.words.raise_words import up
from panelworth.publishing.words.rounding import CLOSE, is_shown
from panelworth.publishing.words.sentences import joined_sentences

MOST = 3  # names listed before "and 2 more"
SUMS = ("planned", "likely", "committed", "invoiced", "paid")
LEAST_SHARE = 0.005  # a smaller part would be written as 0 %
# The papers behind the parts of a cost, from the surest to none, in the order of the picture.
RESTS_ON = {
    "invoice": N_("{share} invoiced"),
    "quote": N_("{share} quoted"),
    "estimate": N_("{share} estimated"),
    "written": N_("{share} on no paper"),
}

# Raises: changed; no longer possible; possible again.
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
    """Return the options with rows in the ledger."""
    with_entries = {entry.option for entry in view.case.ledger}
    return [tag for tag in view.tags.values() if tag.id in with_entries]


def lead(view: View) -> list[str]:
    """Say how many rows there are, what is paid, and which prices must be asked for again."""
    scenario = view.case.scenario
    decision, as_of = scenario.decision, scenario.as_of
    ledger = [row for row in view.case.ledger if not decision or row.date <= decision.on]
    rows = plural(len(ledger), "row", "rows")
    last = near_day(max((entry.date for entry in ledger), default=as_of), as_of)
    text = N_("The ledger has {rows}, the last of {day}.")
    if decision:
        text = N_("When it was decided, the ledger had {rows}, the last of {day}.")
    first = _(text, rows=rows, day=last)
    return [joined_sentences(first, *_paid(view)), *_lapsed_papers(view)]


def _paid(view: View) -> list[str]:
    sums = {tag: view.figures.project_progress[tag.id].paid for tag in with_rows(view)}
    paid = [
        _("{sum} is paid for {option}.", sum=view.formats.money(sum_), option=tag.short)
        for tag, sum_ in sums.items()
        if sum_ >= CLOSE
    ]
    if not paid and view.figures.project:
        return [_("Nothing was paid by then.")]
    return paid or [_("Nothing is paid yet.")]


def _lapsed_papers(view: View) -> list[str]:
    """Name the papers that have lapsed, option by option."""
    return [
        ngettext(
            "Ask again for {names} ({option}): the quote has lapsed and still counts here.",
            "Ask again for {names} ({option}): the quotes have lapsed and still count here.",
            len(things),
        ).format(names=_some(things), option=tag.short)
        for tag in with_rows(view)
        if (things := lapsed_things(view.case, tag.id))
    ]


def _some(named: Sequence[str]) -> str:
    """Name the first `MOST` and count the others."""
    first, more = list(named[:MOST]), len(named[MOST:])
    if more:
        return _("{names} and {count} more", names=", ".join(first), count=more)
    return joined(first)


def likely_cost(view: View, tag: OptionTag) -> str:
    """Write the likely cost of an option as planned, rounded by its uncertainty."""
    outlay = view.option(tag.id).likely.outlay
    return grant_words.as_sure_as(view.formats, view.leading(tag).trials, outlay)


def from_allowed(view: View, tag: OptionTag) -> str:
    """Warn that the plan is refused, with the cost from the first allowed start."""
    leading = view.leading(tag)
    if leading.allowed_start is None:
        return ""
    return _(
        "Cannot start as planned; from {day} it comes to {sum}.",
        day=near_day(leading.start, view.case.scenario.as_of),
        sum=grant_words.likely(view.formats, leading.trials),
    )


def shares_of(progress: ProjectProgress) -> dict[str, float]:
    """Return the shares of a likely cost by kind of paper; very small shares are left out."""
    if progress.outlay < CLOSE:
        return {}
    shares = {
        kind: progress.share_on(kind) for kind in RESTS_ON if progress.rests_on[kind] >= CLOSE
    }
    return {kind: share for kind, share in shares.items() if share >= LEAST_SHARE}


def rests_on(progress: ProjectProgress) -> str:
    """Say which part is invoiced, quoted, estimated, or on no paper."""
    parts = [
        _(RESTS_ON[kind], share=percent(share, 0)) for kind, share in shares_of(progress).items()
    ]
    return f"{', '.join(parts)}." if parts else _("Nothing to be paid.")


def plan_drift(view: View) -> list[str]:
    """Say how far each option is from its plan, and why; unchanged options share a sentence."""
    tags = with_rows(view)
    unchanged = [tag for tag in tags if _has_held(view.figures.project_progress[tag.id])]
    texts = [_drift_of(view, tag) for tag in tags if tag not in unchanged]
    if unchanged:
        as_planned = ngettext(
            "{options} stands as planned.", "{options} stand as planned.", len(unchanged)
        )
        texts.append(as_planned.format(options=names(unchanged)))
    return texts


def _has_held(progress: ProjectProgress) -> bool:
    return not is_shown(progress.drift) and not _drifted(progress)


def _drift_of(view: View, tag: OptionTag) -> str:
    progress, money = view.figures.project_progress[tag.id], view.formats.money
    words = {
        "option": tag.short,
        "plan": money(progress.planned_outlay),
        "sum": money(abs(progress.drift)),
    }
    if not is_shown(progress.drift):
        first = _("{option} still comes to its plan, {plan}.", **words)
    elif progress.drift > 0:
        first = _("{option}: {sum} over its plan of {plan}.", **words)
    else:
        first = _("{option}: {sum} under its plan of {plan}.", **words)
    drifted = _drifted(progress)
    if not drifted:
        return joined_sentences(first, _asked(view, tag))
    most = view.formats.change(drifted[0].drift)
    item = _("Most of it: {item}, {sum}.", item=drifted[0].name, sum=most)
    return joined_sentences(first, item, _asked(view, tag))


def _drifted(progress: ProjectProgress) -> list[Account]:
    """Return the items that differ from the plan, the largest difference first."""
    drifted = [item for item in progress.items if is_shown(item.drift)]
    return sorted(drifted, key=lambda item: abs(item.drift), reverse=True)


def _asked(view: View, tag: OptionTag) -> str:
    """Say how the raises for members change, in whole units of money.

    "" for an option that is refused as planned, since its raises are those of another start.
    """
    now, before = view.option(tag.id).funded, view.figures.project_progress[tag.id].planned_funded
    if not view.club or now is None or before is None or view.leading(tag).refused:
        return ""
    sentences = []
    for key, (becomes, no_longer, possible_again) in RAISES.items():
        amount, planned = getattr(now, key), getattr(before, key)
        if amount is None or planned is None:
            if amount != planned:
                sentences.append(_(no_longer if amount is None else possible_again))
            continue
        asked, plan = up(view.formats, amount), up(view.formats, planned)
        if asked != plan:
            sentences.append(_(becomes, now=asked, plan=plan))
    return joined_sentences(*sentences)


def item_head() -> list[str]:
    """Return the headings of the table of items."""
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
    progress, money = view.figures.project_progress[tag.id], view.formats.money
    rows = [
        [account.name, *(money(getattr(account, key)) for key in SUMS)]
        for account in (*progress.items, *progress.money_in)
        if account.path in view.case.ledger_statuses
    ]
    rows += [
        [thing_name(status), NONE, money(status.likely), NONE, NONE, money(status.paid)]
        for status in view.case.statuses_besides_items(tag.id)
        if status.likely is not None
    ]
    return rows
