"""The project by its ledger: quoted, invoiced, paid, still to come; forecast and drift."""

from collections.abc import Iterator, Sequence
from typing import Any

from panelworth.engine.results import Account, Tidings
from panelworth.publishing import charts, ledger_words
from panelworth.publishing.caution_lines import MAINTENANCE, money_cautions
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import near_day, plural
from panelworth.publishing.language import noted, say
from panelworth.publishing.sentences import joined_sentences
from panelworth.publishing.view import OptionTag, Page, View

FEWEST_STEPS = 2
# What is told where one of the lines moves, in the order of the chart's key.
TOLD = {
    "committed": noted("{sum} quoted or invoiced by {day}"),
    "invoiced": noted("{sum} invoiced by {day}"),
    "paid": noted("{sum} paid by {day}"),
}


def ledger_page(view: View) -> Page:
    """Make the page on where each option with rows in the ledger stands."""
    tags = [tag for tag in view.tags.values() if _has_rows(view, tag)]
    drawn = [chart for tag in tags if (chart := over_time(view, tag))]
    return Page(
        file="ledger.html",
        template="ledger.html",
        title=say("The project so far"),
        nav="",
        foot=say("Quotes and bills"),
        door=(say("What was offered, billed, paid?"), say("Quotes and bills")),
        description=say(
            "What is quoted, invoiced and paid: {title}", title=view.case.scenario.title
        ),
        content={
            "lead": _lead(view, tags),
            "options": [_section(view, tag, drawn) for tag in tags],
            "charts": drawn,
            "drift_head": [say("Item"), say("Option file"), say("Stands at"), say("Moved by")],
            "rows_head": [say("Item"), *_sums_head(), say("Still to pay")],
            "cautions": [*money_cautions(view), *MAINTENANCE],
        },
    )


def _sums_head() -> list[str]:
    return [say("Quoted or invoiced"), say("Invoiced"), say("Paid")]


def _has_rows(view: View, tag: OptionTag) -> bool:
    return any(entry.option == tag.id for entry in view.case.ledger)


def _lead(view: View, tags: list[OptionTag]) -> list[str]:
    ledger, as_of = view.case.ledger, view.case.scenario.as_of
    rows, options = plural(len(ledger), "row", "rows"), plural(len(tags), "option", "options")
    last = near_day(max(entry.date for entry in ledger), as_of)
    return [
        say(
            "The ledger has {rows} on {options}, the last of {day}; all figures follow them.",
            rows=rows,
            options=options,
            day=last,
        ),
        say(
            "Sums are with tax. The plan is what the option files say, as it is put to the vote. "
            "The page of each option says, item by item, on which row of the ledger its price "
            "stands."
        ),
    ]


def _section(view: View, tag: OptionTag, drawn: list[Chart]) -> dict[str, Any]:
    found = view.figures.underway[tag.id]
    return {
        "option": tag,
        "said": [
            ledger_words.so_far(view, found),
            joined_sentences(ledger_words.shares(view, tag), ledger_words.done(found)),
            joined_sentences(ledger_words.forecast(view, tag), ledger_words.drift(view, tag)),
            ledger_words.what_it_does(view, tag),
            *ledger_words.besides(view, tag),
            ledger_words.lapsed(view, tag),
        ],
        "drifted": [_drift_row(view, each) for each in ledger_words.drifted(found)],
        "rows": [_row(view, each) for each in found.items if each.path in view.case.standings],
        "money_in": [
            _drift_row(view, each) for each in found.money_in if each.path in view.case.standings
        ],
        "chart": next((chart for chart in drawn if chart.id == _chart_id(tag)), None),
    }


def _drift_row(view: View, each: Account) -> list[str]:
    money = view.formats.money
    moved = view.formats.change(each.likely - each.planned)
    return [each.name, money(each.planned), money(each.likely), moved]


def _row(view: View, each: Account) -> list[Any]:
    money = view.formats.money
    return [each.name, *map(money, (each.committed, each.invoiced, each.paid, each.due))]


def _chart_id(tag: OptionTag) -> str:
    return f"ledger-{tag.id}"


def over_time(view: View, tag: OptionTag) -> Chart | None:
    """Draw what has been quoted, invoiced and paid by each day, and the likely total."""
    course = view.figures.underway[tag.id].course
    if len({(each.committed, each.invoiced, each.paid) for each in course}) < FEWEST_STEPS:
        return None
    money, likely = view.formats.money, view.option(tag.id).likely.outlay
    as_of = view.case.scenario.as_of
    rows = [
        [near_day(each.day, as_of), money(each.committed), money(each.invoiced), money(each.paid)]
        for each in course
    ]
    return Chart(
        id=_chart_id(tag),
        title=say("“{option}” over time, by the ledger", option=tag.title),
        summary=say(
            "What stands on quotes, with their changes, and invoices; what is invoiced; what is "
            "paid. The level line is the likely total, {sum}.",
            sum=money(likely),
        ),
        spec=charts.steps(
            list(view.tags.values()),
            list(_points(view, tag, course)),
            axis=view.formats.symbol,
            extra=charts.level(likely, say("likely total")),
        ),
        head=[say("By"), *_sums_head()],
        rows=rows,
    )


def _points(view: View, tag: OptionTag, course: Sequence[Tidings]) -> Iterator[dict[str, Any]]:
    """Yield each step of the three lines, with a mark where one moves; they run on to as_of."""
    as_of, money = view.case.scenario.as_of, view.formats.money
    for name, (key, text) in zip(charts.LEDGER_DASHES, TOLD.items(), strict=True):
        at: dict[str, Any] = {"option": tag.title, "series": say(name), "y": 0.0}
        for each in course:
            value = getattr(each, key)
            told = say(text, sum=money(value), day=near_day(each.day, as_of))
            moved = round(value, 2) != at["y"]
            at |= {"x": each.day.isoformat(), "y": round(value, 2), "told": told, "mark": moved}
            yield dict(at)
        if course[-1].day < as_of:
            yield {**at, "x": as_of.isoformat(), "mark": False}
