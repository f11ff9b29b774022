"""The days to keep in mind put into words; the page and the calendar file agree on them."""

from panelworth.engine.results_loop import Deadline
from panelworth.publishing.formats import day, plural
from panelworth.publishing.sentences import weeks
from panelworth.publishing.view import View

CHECKED = (
    "Check the current rules and the maker's data; intervals follow US 14 CFR parts 43 and 91."
)


def one_line(text: str) -> str:
    r"""Put a text on one line, without control characters: what no calendar can mistake.

    Some readers take a bare carriage return, or another of Unicode's line ends, for a new line of
    the file, where text could begin a property of its own.

    >>> one_line("A\r\nBEGIN:VALARM")
    'A BEGIN:VALARM'
    """
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def heading(view: View, each: Deadline) -> str:
    """Name a day with what it is about: "Quote lapses: Display"."""
    return f"{event(view, each)}: {each.name or view.tags[each.option].title}"


def event(view: View, each: Deadline) -> str:
    """Name what happens on a day: "Quote lapses"."""
    if each.kind == "quote":
        return "Quote lapsed" if each.past else "Quote lapses"
    if each.kind == "inspection":
        return "Overdue" if each.past else "Due"
    if each.kind == "down":
        replaced = view.case.options[each.option].kind == "replace"
        return "Without an airplane" if replaced else "Airplane away"
    return {"order": "Order by", "loan": "Last loan payment", "raise": "Tightest month"}[each.kind]


def remarks(view: View, each: Deadline) -> list[str]:
    """Say in sentences what a day is about and what it hangs on."""
    said = {
        "quote": _quote,
        "order": _order,
        "down": _down,
        "inspection": _inspection,
        "loan": _loan,
        "raise": _raise,
    }[each.kind](view, each)
    return [sentence for sentence in said if sentence]


def _quote(view: View, each: Deadline) -> list[str]:
    whose = " from " + each.supplier if each.supplier else ""
    paper = f" ({each.reference})" if each.reference else ""
    ends = "lapsed on" if each.past else "holds through"
    said = [f"The price{whose}{paper} {ends} {day(each.first)}; ask again after that."]
    if each.past:
        said = [f"The price{whose}{paper} {ends} {day(each.first)}: ask again before ordering."]
    elif each.order and each.first < each.order:
        title = view.tags[each.option].title
        said.append(f"It lapses before the order day of “{title}”, {day(each.order)}.")
    return said


def _order(view: View, each: Deadline) -> list[str]:
    start = view.series(each.option).start
    return [f"Ordered by this day, “{view.tags[each.option].title}” starts on {day(start)}."]


def _down(view: View, each: Deadline) -> list[str]:
    schedule = view.case.options[each.option].schedule
    if schedule is None or each.back is None:
        return []
    said = f"Likely {weeks(schedule)}: back on {day(each.back)}."
    if each.earliest and each.latest and each.earliest != each.latest:
        said += f" It may be back between {day(each.earliest)} and {day(each.latest)}."
    return [said]


def _inspection(view: View, each: Deadline) -> list[str]:
    every = plural(each.every_months, "calendar month", "calendar months")
    end = f"Good through {day(each.first)}, {every} after it was last done."
    if each.past:
        end = f"It was good through {day(each.first)} and is overdue."
    if each.restarted:
        title = view.tags[each.option].title
        end = f"Done with “{title}”, it is good through {day(each.first)}: {every} from there."
    return [end, CHECKED]


def _loan(view: View, each: Deadline) -> list[str]:
    funded = view.option(each.option).funded
    if funded is None:
        return []
    payment = view.formats.cents(funded.loan_payment)
    return [f"The loan's last payment falls in this month; until then {payment} a month."]


def _raise(view: View, each: Deadline) -> list[str]:
    title = view.tags[each.option].title
    said = f"The reserve of “{title}” is tightest in this month: it sets the raise, which is needed"
    return [f"{said} until then."]
