"""What a net benefit is made of, in one picture: its parts, which add up to it."""

from collections.abc import Mapping
from typing import Any

from panelworth.publishing import charts, level_words, sentences
from panelworth.publishing.charts import Chart
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, View

PARTS = {
    "hours": noted("What the hours flown are worth"),
    "members": noted("What newcomers pay"),
    "running": noted("Running costs"),
    "airplane_value": noted("The airplane's value at the end"),
    "project": noted("The project, less sales and credits"),
    "loan": noted("What borrowing costs"),
}
WHOLE = noted("Net benefit")


def made_of(view: View) -> Chart:
    """Draw what each option's net benefit, as planned, is made of: bars that add up."""
    data: list[dict[str, Any]] = []
    rows: list[list[Any]] = []
    change = view.formats.change
    for tag in view.others:
        likely, reached = view.option(tag.id).likely, 0.0
        row: list[Any] = [{"option": tag, "value": ""}]
        for key, label in PARTS.items():
            value = getattr(likely.parts, key)
            ends = {"from": round(reached, 2), "to": round(reached + value, 2)}
            data.append(_bar(tag, label, change(value), ends))
            row.append(change(value))
            reached += value
        whole = {"from": 0.0, "to": round(likely.net_benefit, 2)}
        data.append(_bar(tag, WHOLE, change(likely.net_benefit), whole))
        rows.append([*row, change(likely.net_benefit)])
    none = {key for key in PARTS if all(_none(view, tag, key) for tag in view.others)}
    shown = [say(label) for key, label in PARTS.items() if key not in none]
    kept = [each for each in data if each["part"] in (*shown, say(WHOLE))]
    keep = [place for place, key in enumerate(PARTS, start=1) if key not in none]
    options = len(view.others) + 1
    summary = say(
        "What each option likely brings more, or costs more, than “{baseline}”, in today's money. "
        "Each bar begins where the one above it ends; the last is the sum. What members pay the "
        "club is in none of them.",
        baseline=view.baseline.title,
    )
    if not view.club:
        summary = say(
            "What each option likely brings more, or costs more, than “{baseline}”, in today's "
            "money. Each bar begins where the one above it ends; the last is the sum.",
            baseline=view.baseline.title,
        )
    if any(level_words.allowed(view, tag) for tag in view.others):
        summary = sentences.joined_sentences(summary, say("All starts are as planned."))
    return Chart(
        id="made-of",
        title=say("What the net benefit is made of"),
        summary=summary,
        spec=charts.waterfall(
            list(view.tags.values()), kept, say("Ahead, {symbol}", symbol=view.formats.symbol)
        ),
        head=[say("Option"), *shown, say(WHOLE)],
        rows=[[row[0], *(row[place] for place in keep), row[-1]] for row in rows],
        options=view.others,
        height=charts.waterfall_height(len(shown) + 1, options),
    )


def _none(view: View, tag: OptionTag, key: str) -> bool:
    value: float = getattr(view.option(tag.id).likely.parts, key)
    return abs(value) < sentences.CLOSE


def _bar(tag: OptionTag, label: str, told: str, ends: Mapping[str, float]) -> dict[str, Any]:
    return {"option": tag.title, "part": say(label), "told": told, **ends}
