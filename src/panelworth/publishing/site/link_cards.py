"""Pictures that go with a link: what a page says in a headline and up to four figures.

Composed as SVG, 1200 by 630, in the style sheet's light colours and the pages' own font, so that
the same figures give the same bytes anywhere.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate, takewhile
from xml.sax.saxutils import escape

from panelworth.engine.results.figures import Likely
from panelworth.publishing.charts.axes import COLOURS, SANS, option_colour
from panelworth.publishing.charts.lettering import width, widths
from panelworth.publishing.charts.marks import shape
from panelworth.publishing.formats import day, plural
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, Page, View
from panelworth.publishing.words import level_words
from panelworth.publishing.words.date_words import one_line
from panelworth.publishing.words.dates_words import order_day
from panelworth.publishing.words.sentences import joined_sentences, weeks

WIDTH, HEIGHT = 1200, 630
PAPER, ACCENT = "#f6f6f0", "#7a2342"  # --paper and --accent of style.css; a test holds them equal
LEFT, RIGHT = 72, WIDTH - 72
ROOM = RIGHT - LEFT
BOLD, AT_END = ' font-weight="bold"', ' text-anchor="end"'
MOST_ROWS = 4


@dataclass(frozen=True, kw_only=True)
class Row:
    """A line of a card: a figure at the right of what it is of."""

    label: str
    figure: str
    number: int = 0  # the option's, which gives mark and colour; 0: none


@dataclass(frozen=True, kw_only=True)
class Content:
    """What a card says, from top to bottom."""

    over: str
    headline: str
    note: str
    rows: Sequence[Row]
    foot: str


def card_of(view: View, page: Page) -> str | None:
    """Return the card of a page as SVG; None where it has none of its own."""
    made = _made(view, page)
    return None if made is None else drawn(made)


def _made(view: View, page: Page) -> Content | None:
    tag = page.content.get("option")
    if isinstance(tag, OptionTag):
        return _of_option(view, tag)
    makers: dict[str, Callable[[View], Content]] = {
        "index.html": _of_front,
        "compare.html": _of_compare,
        "risk.html": _of_risk,
        "dates.html": _of_dates,
    }
    return makers[page.file](view) if page.file in makers else None


def card_of_several(views: Sequence[View]) -> str:
    """Return the card of the page in front of several scenarios: how many options each has."""
    rows = [
        Row(label=view.case.scenario.title, figure=plural(len(view.tags), "option", "options"))
        for view in views
    ]
    headline, note = _("What to do about an aging panel"), _("Compared:")
    return drawn(Content(over="", headline=headline, note=note, rows=rows, foot=""))


def _compared(
    view: View,
    headline: str,
    note: str,
    figure: Callable[[OptionTag], str],
    *,
    baseline: bool = True,
) -> Content:
    """Return a card with a figure an option."""
    rows = [
        Row(label=_named(view, tag), figure=figure(tag), number=tag.number)
        for tag in (view.tags.values() if baseline else view.others)
    ]
    return _content(view, headline, note, rows)


def _named(view: View, tag: OptionTag) -> str:
    """Name an option, and that it cannot start as planned."""
    if level_words.refused(view, tag):
        return _("{option} (not as planned)", option=tag.title)
    return tag.title


def _content(view: View, headline: str, note: str, rows: Sequence[Row]) -> Content:
    scenario = view.case.scenario
    over = "" if headline == scenario.title else scenario.title
    foot = _("As of {day}. Planning figures, not advice.", day=day(scenario.as_of))
    return Content(over=over, headline=headline, note=note, rows=rows, foot=foot)


def _of_front(view: View) -> Content:
    scenario, years = view.case.scenario, plural(view.figures.years, "year", "years")
    note = _(
        "Likely brings, against “{baseline}” over {years}, in today's money:",
        baseline=view.baseline.title,
        years=years,
    )
    return _compared(
        view,
        scenario.question or scenario.title,
        note,
        lambda tag: view.formats.change(level_words.net_benefit(view, tag)),
        baseline=False,
    )


def _likely(view: View, tag: OptionTag) -> Likely:
    return view.option(tag.id).likely


def _of_compare(view: View) -> Content:
    if view.club:
        return _compared(
            view,
            _("The options compared"),
            _("Likely, a member a month, all costs spread:"),
            lambda tag: view.formats.money(_likely(view, tag).cost_per_member_month),
        )
    return _compared(
        view,
        _("The options compared"),
        _("Likely, an hour flown, all costs spread:"),
        lambda tag: view.formats.money(_likely(view, tag).cost_per_hour),
    )


def _of_risk(view: View) -> Content:
    return _compared(
        view,
        _("How sure is this?"),
        _("Ends ahead of {baseline} in:", baseline=view.baseline.short),
        lambda tag: level_words.futures(level_words.ahead_share(view, tag, view.baseline)),
        baseline=False,
    )


def _of_dates(view: View) -> Content:
    return _compared(
        view,
        _("By when must you decide?"),
        _("To be ordered by:"),
        lambda tag: day(ordered) if (ordered := order_day(view, tag)) else _("no order"),
    )


def _of_option(view: View, tag: OptionTag) -> Content:
    likely, formats = _likely(view, tag), view.formats
    schedule = view.case.options[tag.id].schedule
    spread = likely.cost_per_member_month if view.club else likely.equivalent_annual_cost
    rows = [
        (_("Up front"), formats.money(likely.upfront)),
        (_("A member a month") if view.club else _("A year"), formats.money(spread)),
        (_("Time down"), weeks(schedule) if schedule else _("none")),
    ]
    if tag.id != view.figures.baseline:
        against = _("Brings, against “{baseline}”, today's money", baseline=view.baseline.title)
        rows.insert(2, (against, formats.change(level_words.net_benefit(view, tag))))
    lines = [Row(label=label, figure=figure) for label, figure in rows]
    return _content(view, tag.title, _("Likely:"), lines)


def drawn(content: Content) -> str:
    """Compose a card: headline at the top, figures in ruled lines, the foot at the bottom."""
    parts = [
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="{PAPER}"/>',
        f'<rect width="{WIDTH}" height="12" fill="{ACCENT}"/>',
        _text(_cut(content.over, 26, ROOM), (LEFT, 70), 26, COLOURS["soft"]),
    ]
    size, lines = _fitted(content.headline)
    top = 90 + size
    parts += [
        _text(line, (LEFT, top + round(1.16 * size * number)), size, COLOURS["ink"], BOLD)
        for number, line in enumerate(lines)
    ]
    shown = content.rows[:MOST_ROWS]
    first = HEIGHT - 76 - 60 * len(shown)
    parts.append(_text(_cut(content.note, 26, ROOM), (LEFT, first - 18), 26, COLOURS["soft"]))
    for number, row in enumerate(shown):
        parts += _row(row, first + 60 * number)
    more = len(content.rows) - len(shown)
    foot = content.foot
    if more:
        foot = joined_sentences(_("And {count} more.", count=more), foot)
    parts.append(_text(foot, (LEFT, HEIGHT - 30), 24, COLOURS["soft"]))
    inside = "".join(part for part in parts if part)
    size_given = f'width="{WIDTH}" height="{HEIGHT}" viewBox="0 0 {WIDTH} {HEIGHT}"'
    family = escape(SANS)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size_given} font-family="{family}">'
    return f"{head}{inside}</svg>"


def _row(row: Row, top: int) -> list[str]:
    """Draw a row 60 high, ruled above; its label is not bold, so letters take less room."""
    figure = _text(row.figure, (RIGHT, top + 41), 34, COLOURS["ink"], f"{BOLD}{AT_END}")
    start = LEFT + 44 if row.number else LEFT
    room = RIGHT - start - width(row.figure, 34) - 24
    parts = [
        f'<path d="M{LEFT} {top}H{RIGHT}" stroke="{COLOURS["rule"]}" stroke-width="2"/>',
        _text(_cut(row.label, 28, room), (start, top + 40), 30, COLOURS["ink"]),
        figure,
    ]
    if row.number:
        place = f"translate({LEFT + 14} {top + 30}) scale(2.3)"
        colour = option_colour(row.number)
        parts.append(f'<path d="M0 0{shape(row.number)}" transform="{place}" fill="{colour}"/>')
    return parts


def _text(words: str, at: tuple[int, int], size: int, colour: str, extra: str = "") -> str:
    place = f'x="{at[0]}" y="{at[1]}" font-size="{size}" fill="{colour}"{extra}'
    return f"<text {place}>{escape(one_line(words))}</text>" if words else ""


def _cut(words: str, size: int, room: float) -> str:
    """Shorten words that find no room; what is far too long is looked at no further than that."""
    left = room - width("…", size)
    ends = takewhile(lambda end: end <= room, accumulate(widths(words, size)))
    fitting = [end <= left for end in ends]
    return words if len(fitting) == len(words) else f"{words[: fitting.count(True)].rstrip()}…"


def _fitted(headline: str) -> tuple[int, list[str]]:
    """Return the largest size at which a headline takes no more than its lines, and these."""
    for size, most in ((60, 2), (50, 2), (42, 3), (36, 4)):
        lines = _wrapped(headline, size, most)
        if len(lines) <= most:
            return size, lines
    kept = lines[:most]
    return size, [*kept[:-1], _cut(f"{kept[-1]} …", size, ROOM)]


def _wrapped(words: str, size: int, most: int) -> list[str]:
    """Break words into lines; what comes after one line more than the most is left out."""
    lines = [""]
    for word in words.split():
        if len(lines) > most:
            break
        longer = f"{lines[-1]} {word}".strip()
        if width(longer, size) > ROOM and lines[-1]:
            lines.append(_cut(word, size, ROOM))
        else:
            lines[-1] = _cut(longer, size, ROOM)
    return lines
