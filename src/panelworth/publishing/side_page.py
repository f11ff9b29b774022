"""Side by side: every option a column, everything that is known of it in rows, group by group."""

import re
from collections.abc import Callable, Collection
from typing import Any

from panelworth.publishing import level_words, side_airplane, side_money
from panelworth.publishing.caution_lines import (
    DOWNTIME,
    FAILURES,
    MAINTENANCE,
    NEEDS,
    POWER,
    WEIGHT,
    money_cautions,
)
from panelworth.publishing.charts import script_json
from panelworth.publishing.formats import quoted
from panelworth.publishing.language import noted, say, say_counted
from panelworth.publishing.side_rows import Group, Row
from panelworth.publishing.view import Page, View

FILE, ROWS, NAMES = "side.html", "side-rows.js", "side-names.css"
PART_OF = "compare.html"
CSS_MARKS = re.compile(r"""["\\<\x00-\x1f\x7f]""")
LEAST = 2  # options that there must be to compare
MATTERS = {
    "money": noted("Money"),
    "risk": noted("Risk"),
    "downtime": noted("Downtime"),
    "airplane": noted("The airplane"),
}
# What the script says; it fills in the braces.
WORDS = {
    "plain": noted(
        "{shown} of {all} options, in the order of the page. Differences are to “{first}”."
    ),
    "ordered": noted(
        "{shown} of {all} options, ordered by “{row}”, {end}: {names}. "
        "Differences are to “{first}”."
    ),
    "least": noted("Two options at least are compared."),
}
ENDS = (
    *(noted("best first"), noted("worst first")),
    *(noted("lowest first"), noted("highest first")),
)
MAKERS: tuple[Callable[[View], Group | None], ...] = (
    side_money.costs,
    side_money.bills,
    side_money.made_of,
    side_money.risk,
    side_money.downtime,
    side_airplane.wants,
    side_airplane.weights,
    side_airplane.power,
    side_airplane.failures,
    side_airplane.small_jobs,
)
CAUTIONS = {"weight": WEIGHT, "power": POWER, "failures": FAILURES, "wants": NEEDS}


def side_page(view: View, files: Collection[str]) -> Page | None:
    """Make the page, None for a single option; `files` are the pages that it may lead to."""
    if len(view.tags) < LEAST:
        return None
    found = groups(view)
    return Page(
        file=FILE,
        template="side.html",
        title=say("Side by side"),
        nav="",
        description=say(
            "Every option a column, every figure a row: {scenario}",
            scenario=view.case.scenario.title,
        ),
        later={
            ROWS: f"window.sideRows = {script_json(_data(view, found))};\n",
            NAMES: _names_style(view),
        },
        content={
            "part_of": PART_OF,
            "options": list(view.tags.values()),
            "groups": [_group(view, group, files) for group in found],
            "matters": [
                {"id": key, "label": say(label)}
                for key, label in MATTERS.items()
                if any(group.matter == key for group in found)
            ],
            "rows_script": ROWS,
            "names_style": NAMES,
            "status": _status(view),
            "moved": level_words.moved_starts(view),
            "cautions": _cautions(view, found),
        },
    )


def groups(view: View) -> list[Group]:
    """Return every group there is something to say on, in the page's order."""
    return [group for group in (make(view) for make in MAKERS) if group and group.rows]


def _group(view: View, group: Group, files: Collection[str]) -> dict[str, Any]:
    href, label = group.more
    return {
        "id": group.id,
        "title": group.title,
        "matter": group.matter,
        "rows": [_row(view, each) for each in group.rows],
        "folded": [_row(view, each) for each in group.folded],
        "folded_title": group.folded_title,
        "href": href if href.partition("#")[0] in files else "",
        "more": label,
    }


def _row(view: View, each: Row) -> dict[str, Any]:
    best = each.best()
    cells = [
        {
            "option": tag,
            "text": each.cells[tag.id].text,
            "best": tag.id in best,
            "gap": each.difference(view.figures.baseline, tag.id),
        }
        for tag in view.tags.values()
    ]
    return {"key": each.key, "label": each.label, "cells": cells, "ordered": each.ordered}


def _names_style(view: View) -> str:
    """Name each option's figures on a phone, where every figure has a line of its own.

    What could end a text of a style sheet is escaped (CSS Syntax Level 3, 4.3.7).
    """
    names = "".join(
        f'.side td.option-{tag.number}::before{{content:"{CSS_MARKS.sub(_escaped, tag.title)}"}}'
        for tag in view.tags.values()
    )
    return f"@media screen and (max-width:43.99rem){{{names}}}\n"


def _escaped(mark: re.Match[str]) -> str:
    return f"\\{ord(mark[0]):x} "


def _status(view: View) -> str:
    """Say what is shown before anything is chosen, as the script does."""
    count, first = len(view.tags), next(iter(view.tags.values())).title
    return say(WORDS["plain"], shown=count, all=count, first=first)


def _top(count: int) -> str:
    """Say that so many groups come first, which the script names."""
    return say_counted("First comes: {groups}.", "First come: {groups}.", count)


def _data(view: View, found: list[Group]) -> dict[str, Any]:
    """Return what the script places: ranks and differences of every row, and the words it says."""
    ids = list(view.tags)
    rows = {each.key: each.data(ids) for group in found for each in (*group.rows, *group.folded)}
    titles = [view.tags[each].title for each in ids]
    words = {
        **{key: say(text) for key, text in WORDS.items()},
        "quoted": quoted("{name}"),
        "ends": [say(end) for end in ENDS],
        "top": [_top(count + 1) for count in range(len(MATTERS))],
    }
    return {"ids": ids, "titles": titles, "rows": rows, "words": words}


def _cautions(view: View, found: list[Group]) -> list[str]:
    special = [line for group in found for line in CAUTIONS.get(group.id, ())]
    away = DOWNTIME if any(group.id == "downtime" for group in found) else ()
    work = MAINTENANCE if any(group.matter == "airplane" for group in found) else ()
    return [*money_cautions(view), *away, *special, *work]
