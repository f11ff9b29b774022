"""The progress of a project according to the ledger, and its difference to the plan."""

import math
from collections.abc import Iterator, Sequence

from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.cash_flow.option_context import OptionContext
from panelworth.engine.cash_flow.project import credit_amount, item_price, still_due
from panelworth.engine.funding.funding_plan import funded_figures
from panelworth.engine.ledger.settlement import ledger_statuses_of, parts_up_to_vote, planned
from panelworth.engine.results.figures import (
    Account,
    LedgerSnapshot,
    ProjectProgress,
)
from panelworth.engine.results.trials import Solved
from panelworth.engine.returns.comparison import scalar
from panelworth.engine.trials import Array, likely_trial
from panelworth.engine.uncertainty.simulation import solved_raises
from panelworth.model.case import Case
from panelworth.model.ledger import LedgerStatus
from panelworth.model.ledger_targets import Target, credit_target, item_target

BINDING = ("quote", "invoice")  # an estimate commits nobody
WRITTEN = "written"  # the price is the one in the option file
BASES = ("invoice", "quote", "estimate", WRITTEN)


def progress_of(case: Case, flows: dict[str, Flows], count: int) -> dict[str, ProjectProgress]:
    """Return the progress of each option; {} without a ledger.

    `flows` are those of the settled case at likely values. If a raise is solved for, it is also
    solved for the plan in `count` trials, so that both are comparable.
    """
    if not case.ledger:
        return {}
    plan = planned(case)
    likely, solved = likely_trial(plan), solved_raises(plan, count)
    return {
        option_id: _progress(
            case, option_flows, plan, flows_of(plan, option_id, likely), solved.get(option_id)
        )
        for option_id, option_flows in flows.items()
    }


def _progress(
    case: Case, flows: Flows, plan: Case, before: Flows, solved: Solved | None
) -> ProjectProgress:
    items, outlay = tuple(_items(flows.context, before.context)), scalar(flows.project.outlay)
    return ProjectProgress(
        items=items,
        money_in=tuple(_money_in(flows.context, before.context)),
        history=tuple(_history(case, flows.context)),
        rests_on=_rests_on(items, case.statuses_besides_items(flows.context.option_id), outlay),
        planned_outlay=scalar(before.project.outlay),
        outlay=outlay,
        to_pay=scalar(flows.project.to_pay),
        planned_funded=funded_figures(plan, before, solved)[0],
    )


def _rests_on(
    items: Sequence[Account], besides: Sequence[LedgerStatus], outlay: float
) -> dict[str, float]:
    """Split an outlay by the basis of its prices: of items, and of jobs and a purchase with rows.

    The invoiced part of a price, up to the likely price, has the basis "invoice"; the rest has the
    basis of the price. What has no rows is "written": its price is the one in the option file.
    """
    sums = [(item.basis, item.invoiced, item.likely) for item in items]
    sums += [
        (status.basis, status.billed, status.likely)
        for status in besides
        if status.likely is not None and not status.comes_in
    ]
    parts = dict.fromkeys(BASES, 0.0)
    for basis, billed, likely in sums:
        done = max(min(billed, likely), 0.0)
        parts["invoice"] += done
        parts[basis if basis in BASES else WRITTEN] += likely - done
    parts[WRITTEN] += outlay - math.fsum(likely for _, _, likely in sums)
    return parts


def _items(now: OptionContext, before: OptionContext) -> Iterator[Account]:
    for phase, planned_phase in zip(now.phases, before.phases, strict=True):
        for item, planned_item in zip(phase.step.items, planned_phase.step.items, strict=True):
            tax, target = 1.0 + now.trials.of(item.tax), item_target(now.prefix, item)
            likely = item_price(now, phase, item) * tax
            plan = item_price(before, planned_phase, planned_item) * tax
            yield _account(now, target, tax=scalar(tax), likely=likely, plan=plan)


def _money_in(now: OptionContext, before: OptionContext) -> Iterator[Account]:
    for phase, planned_phase in zip(now.phases, before.phases, strict=True):
        for credit, planned_credit in zip(
            phase.step.credits, planned_phase.step.credits, strict=True
        ):
            likely, plan = credit_amount(now, credit), credit_amount(before, planned_credit)
            target = credit_target(now.prefix, credit)
            yield _account(now, target, tax=1.0, likely=likely, plan=plan)


def _account(
    now: OptionContext, target: Target, *, tax: float, likely: Array, plan: Array
) -> Account:
    status = now.ledger_status(target)
    return Account(
        path=target.path,
        name=target.name,
        basis=status.basis if status else WRITTEN,
        planned=scalar(plan),
        likely=scalar(likely),
        committed=committed(status) * tax if status else 0.0,
        invoiced=invoiced(status) * tax if status else 0.0,
        paid=status.paid if status else 0.0,
        due=scalar(still_due(now, target, likely)),
    )


def committed(status: LedgerStatus) -> float:
    """Return the sum before tax that quotes with their changes, and invoices, commit the club to.

    Credits are taken off; at least 0.
    """
    bound = status.price.likely if status.price and status.basis in BINDING else 0.0
    return max(status.current(bound), 0.0)


def invoiced(status: LedgerStatus) -> float:
    """Return the sum of the invoices before tax, less included tax at its likely rate."""
    return float(status.invoiced.net(status.tax))


def _history(case: Case, now: OptionContext) -> Iterator[LedgerSnapshot]:
    """Yield the sums of the items at the end of each day with a row of one of them."""
    taxes = {
        item_target(now.prefix, item).path: 1.0 + item.tax.likely
        for phase in now.phases
        for item in phase.step.items
    }
    written = case.written
    parts = [part for part in parts_up_to_vote(written) if part.target.path in taxes]
    for day in sorted({part.entry.date for part in parts}):
        until = [part for part in parts if part.entry.date <= day]
        ledger_statuses = list(
            ledger_statuses_of(written, now.option_id, until, case.scenario.as_of)
        )
        yield LedgerSnapshot(
            day=day,
            committed=math.fsum(
                committed(status) * taxes[status.path] for status in ledger_statuses
            ),
            invoiced=math.fsum(invoiced(status) * taxes[status.path] for status in ledger_statuses),
            paid=math.fsum(status.paid for status in ledger_statuses),
        )
