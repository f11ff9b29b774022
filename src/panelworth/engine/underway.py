"""How far a project has come by the ledger, and how far it is from its plan."""

import math
from collections.abc import Iterator

from panelworth.engine.allotment import parts_of
from panelworth.engine.cashflow import Flows, flows_of
from panelworth.engine.comparison import only
from panelworth.engine.course import Course
from panelworth.engine.funding import funded_figures
from panelworth.engine.ledger import credit_path, item_path, planned, standings_of
from panelworth.engine.project import credit_amount, due, item_price
from panelworth.engine.results import Account, Tidings, Underway
from panelworth.engine.results_trials import Solved
from panelworth.engine.uncertainty import solved_raises
from panelworth.engine.worlds import Array, likely_worlds
from panelworth.model.case import Case, as_written
from panelworth.model.ledger import Standing

BINDING = ("quote", "invoice")


def underway_of(case: Case, flows: dict[str, Flows], trials: int) -> dict[str, Underway]:
    """Return each option by the ledger; `flows` are those of the settled case's likely view.

    A raise that is solved is solved for the plan too, in as many trials.
    """
    if not case.ledger:
        return {}
    plan = planned(case)
    worlds, solved = likely_worlds(plan), solved_raises(plan, trials)
    return {
        option_id: _underway(
            case, each, plan, flows_of(plan, option_id, worlds), solved.get(option_id)
        )
        for option_id, each in flows.items()
    }


def _underway(
    case: Case, flows: Flows, plan: Case, before: Flows, solved: Solved | None
) -> Underway:
    return Underway(
        items=tuple(_items(flows.course, before.course)),
        money_in=tuple(_money_in(flows.course, before.course)),
        course=tuple(_course(case, flows.course)),
        planned_outlay=only(before.project.outlay),
        to_pay=only(flows.project.to_pay),
        planned_funded=funded_figures(plan, before, solved)[0],
    )


def _items(now: Course, before: Course) -> Iterator[Account]:
    for item, own in zip(now.option.items, before.option.items, strict=True):
        path = item_path(now.prefix, item)
        tax = 1.0 + now.worlds.values[f"{path}.tax"]
        likely, plan = item_price(now, item) * tax, item_price(before, own) * tax
        yield _account(now, path, item.name, tax=only(tax), likely=likely, plan=plan)


def _money_in(now: Course, before: Course) -> Iterator[Account]:
    for credit, own in zip(now.option.credits, before.option.credits, strict=True):
        likely, plan = credit_amount(now, credit), credit_amount(before, own)
        path = credit_path(now.prefix, credit)
        yield _account(now, path, credit.name, tax=1.0, likely=likely, plan=plan)


def _account(
    course: Course, path: str, name: str, *, tax: float, likely: Array, plan: Array
) -> Account:
    standing = course.standings.get(path)
    return Account(
        path=path,
        name=name,
        basis=standing.basis if standing else "written",
        planned=only(plan),
        likely=only(likely),
        committed=committed(standing) * tax if standing else 0.0,
        invoiced=invoiced(standing) * tax if standing else 0.0,
        paid=standing.paid if standing else 0.0,
        due=only(due(course, path, likely)),
    )


def committed(standing: Standing) -> float:
    """Return what quotes with their changes and invoices bind to, less credits, before tax."""
    bound = standing.price.likely if standing.price and standing.basis in BINDING else 0.0
    return max(standing.current(bound), 0.0)


def invoiced(standing: Standing) -> float:
    """Return the invoices so far, before tax at the likely tax."""
    return float(standing.invoiced.net(standing.tax))


def _course(case: Case, course: Course) -> Iterator[Tidings]:
    """Yield how the sums of the items stood at the end of each day that has a row of theirs."""
    taxes = {item_path(course.prefix, item): 1.0 + item.tax.likely for item in course.option.items}
    written = as_written(case)
    parts = [each for each in parts_of(written) if each.target.path in taxes]
    for day in sorted({each.entry.date for each in parts}):
        until = [each for each in parts if each.entry.date <= day]
        standings = list(standings_of(written, course.option_id, until))
        yield Tidings(
            day=day,
            committed=math.fsum(committed(each) * taxes[each.path] for each in standings),
            invoiced=math.fsum(invoiced(each) * taxes[each.path] for each in standings),
            paid=math.fsum(each.paid for each in standings),
        )
