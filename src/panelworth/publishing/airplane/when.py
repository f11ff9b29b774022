"""The page on when: every Monday's start, the best ones, and who else is down."""

from datetime import date, timedelta
from typing import Any

from panelworth.engine.results_airplane import Planner, StartWeek
from panelworth.model.dates import day_after_weeks
from panelworth.model.option import Schedule
from panelworth.publishing import sentences
from panelworth.publishing.airplane import drawings
from panelworth.publishing.airplane import when_words as words
from panelworth.publishing.airplane.parts import Answer, Section, airplane_page
from panelworth.publishing.caution_lines import DOWNTIME, MAINTENANCE
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import day, plural
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, Page, View

QUESTION = noted("When should the airplane be away?")


def when_page(view: View) -> Page | None:
    """Make the page on downtime, None where no option has a schedule."""
    tags = [tag for tag in view.tags.values() if tag.id in view.figures.airplane.planners]
    if not tags:
        return None
    answer = Answer(
        lead=[words.headline(view, tags), *lead(view, tags)],
        charts=[strip(view, tags), fleet(view, tags)],
        sections=[_section(view, tag) for tag in tags],
        how=_how(view, tags),
        cautions=[*DOWNTIME, *MAINTENANCE],
    )
    file, title = "when.html", say("When")
    return airplane_page(file=file, title=title, question=say(QUESTION), answer=answer)


def planner_of(view: View, tag: OptionTag) -> Planner:
    """Return an option's planner."""
    return view.figures.airplane.planners[tag.id]


def lead(view: View, tags: list[OptionTag]) -> list[str]:
    """Say for each option what the start as planned loses, and whether it can be."""
    return [
        sentences.joined_sentences(
            words.own_start(view, tag, planner_of(view, tag)),
            words.own_refused(planner_of(view, tag)),
        )
        for tag in tags
    ]


def _section(view: View, tag: OptionTag) -> Section:
    planner, schedule = planner_of(view, tag), view.case.options[tag.id].schedule
    down = say("Likely time down: {weeks}.", weeks=sentences.weeks(schedule)) if schedule else ""
    facts = [
        words.arrival(view, tag, planner),
        words.others(view, planner),
        words.risk(planner),
        words.spread(view, planner),
        words.slip(view, planner),
    ]
    lines = [*words.best_starts(planner), down, *facts]
    return Section(id=f"when-{tag.id}", option=tag, bullets=[line for line in lines if line])


def strip(view: View, tags: list[OptionTag]) -> Chart:
    """Draw every Monday of every option: darker where more is lost, empty where refused."""
    planners = [planner_of(view, tag) for tag in tags]
    data = [each for tag in tags for each in _weeks(view, tag)]
    rows = [
        [day(planners[0].weeks[number].start), *(_told(view, p, p.weeks[number]) for p in planners)]
        for number in range(len(planners[0].weeks))
    ]
    return Chart(
        id="starts",
        title=say("What each Monday's start loses"),
        summary=say(
            "A strip for each option: the stronger a week's colour, the more is lost by starting "
            "then; gaps are refused. The triangle is the start as planned, the circle the best one."
        ),
        spec=drawings.strips(list(view.tags.values()), data),
        head=[say("Start on"), *({"label": tag.title, "text": True} for tag in tags)],
        rows=rows,
        height=drawings.strips_height(len(tags)),
    )


def _weeks(view: View, tag: OptionTag) -> list[dict[str, Any]]:
    planner = planner_of(view, tag)
    size = [getattr(week, planner.ranked_by) for week in planner.weeks]
    low, width = min(size), (max(size) - min(size)) or 1.0
    best = planner.best_by_cost[0] if planner.best_by_cost else -1
    marks = [
        {
            **_days(week),
            "option": tag.title,
            "dark": None if week.refusals else round((value - low) / width, 3),
            "own": False,
            "best": number == best,
            "told": f"{day(week.start)}: {_told(view, planner, week)}",
        }
        for number, (week, value) in enumerate(zip(planner.weeks, size, strict=True))
    ]
    own = say(
        "{day}, as planned: {what}",
        day=day(planner.own.start),
        what=_told(view, planner, planner.own),
    )
    planned = {**_days(planner.own), "option": tag.title, "dark": None, "own": True}
    return [*marks, {**planned, "best": False, "told": own}]


def _days(week: StartWeek) -> dict[str, str]:
    return {"first": week.start, "next": _later(week.start, 1)}


def _later(iso: str, weeks: float) -> str:
    return day_after_weeks(date.fromisoformat(iso), weeks).isoformat()


def _told(view: View, planner: Planner, week: StartWeek) -> str:
    if week.refusals:
        reasons = "; ".join(words.refusal(each, brief=True) for each in week.refusals)
        return say("refused: {reasons}", reasons=reasons)
    return words.lost(view, planner, week)


def fleet(view: View, tags: list[OptionTag]) -> Chart:
    """Draw who is down when: each option as planned, the other aircraft, days when none may be."""
    data = [each for tag in tags for each in _planned(view, tag)]
    data += _others(view, *_frame(view, tags))
    rows = [[each["name"], each["told"]] for each in data if not (each["faint"] and each["option"])]
    summary = say("Each option as planned, the likely weeks full and the longest ones pale.")
    below = say(
        "Below, the other aircraft's planned downtime and the days on which none may be down."
    )
    return Chart(
        id="fleet",
        title=say("Who is down when") if view.case.fleet else say("How long it is away"),
        summary=f"{summary} {below}" if view.case.fleet else summary,
        spec=drawings.timeline(list(view.tags.values()), data),
        head=[say("What"), {"label": say("When"), "text": True}],
        rows=rows,
        height=drawings.height_of(len({each["name"] for each in data})),
    )


def _planned(view: View, tag: OptionTag) -> list[dict[str, Any]]:
    schedule = view.case.options[tag.id].schedule
    if schedule is None:
        return []
    series = view.series(tag.id)
    told = say(
        "{first} to {last}, likely {weeks}",
        first=day(series.start),
        last=day(series.finish),
        weeks=sentences.weeks(schedule),
    )
    same = {"name": tag.title, "option": tag.title, "told": told, "first": series.start}
    return [
        {**same, "next": _longest(schedule), "faint": True},
        {**same, "next": series.finish, "faint": False},
    ]


def _longest(schedule: Schedule) -> str:
    return day_after_weeks(schedule.start, schedule.weeks_down.high).isoformat()


def _frame(view: View, tags: list[OptionTag]) -> tuple[str, str]:
    """Return the days between which is drawn: a stretch without end would leave no room for more.

    From as_of to the last start that is tried, or the longest that an option may take.
    """
    schedules = [view.case.options[tag.id].schedule for tag in tags]
    ends = [_longest(schedule) for schedule in schedules if schedule]
    ends += [planner_of(view, tag).weeks[-1].finish for tag in tags]
    return view.case.scenario.as_of.isoformat(), max(ends)


def _others(view: View, opens: str, closes: str) -> list[dict[str, Any]]:
    found = view.case.fleet
    if found is None:
        return []
    none = say("None may be down")
    stays = [(each.name, False, window) for each in found.aircraft for window in each.down]
    stays += [(none, True, window) for window in found.blackout]
    return [
        {
            "name": name,
            "option": "",
            "first": min(max(window.first.isoformat(), opens), closes),
            "next": min(max((window.last + timedelta(days=1)).isoformat(), opens), closes),
            "faint": closed,
            "told": ", ".join(
                part for part in (words.span(window.first, window.last), window.reason) if part
            ),
        }
        for name, closed, window in stays
    ]


def _how(view: View, tags: list[OptionTag]) -> list[str]:
    weeks = planner_of(view, tags[0]).weeks
    most = view.case.fleet.max_down if view.case.fleet else None
    tried = say(
        "Each of {mondays} from {day} is tried with the likely weeks down. Hours lost are the "
        "season's hours of those days in this airplane.",
        mondays=plural(len(weeks), "Monday", "Mondays"),
        day=day(weeks[0].start),
    )
    money = say(
        "The money is what an hour leaves over: the hourly rate less fuel, oil, engine reserve and "
        "other costs of an hour."
    )
    if view.club:
        money = say(
            "The money is what an hour leaves over, of those hours that members do not move to "
            "another airplane: the hourly rate less fuel, oil, engine reserve and other costs of "
            "an hour."
        )
    alone = say(
        "The best starts are those that lose least flying: what waiting costs, and that prices "
        "lapse meanwhile, is not in it."
    )
    refused = say(
        "A start is refused before the equipment is likely there, on days when none may be down, "
        "and when too many others are."
    )
    rule = ""
    if most:
        airplanes = plural(most, "airplane", "airplanes")
        rule = say("At most {airplanes} may be down at once.", airplanes=airplanes)
    chances = say("Chances take the range of the weeks down as the files give it.")
    return [f"{tried} {money} {alone}", sentences.joined_sentences(refused, rule, chances)]
