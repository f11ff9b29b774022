"""All figures of a case: calls the other stages in order and nothing else."""

import numpy as np

from panelworth.engine.airplane.airframe import airframe_figures
from panelworth.engine.airplane.allowed_start import moved_case
from panelworth.engine.airplane.downtime import downtime_figures
from panelworth.engine.airplane.squawk_log import squawk_figures
from panelworth.engine.cash_flow.failures import failures
from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.cash_flow.price_list import price_lists
from panelworth.engine.cash_flow.project import likely_payments
from panelworth.engine.cash_flow.rows import by_month
from panelworth.engine.funding.funding_plan import (
    bills,
    funded_figures,
    likely_months,
    loan_schedule,
)
from panelworth.engine.ledger.offers import offer_tables, offers_of
from panelworth.engine.ledger.progress import progress_of
from panelworth.engine.project_status.report import project_report
from panelworth.engine.results.airplane import (
    AirplaneFigures,
)
from panelworth.engine.results.figures import (
    AllowedStart,
    BreakEven,
    Figures,
    Funded,
    HoursCurve,
    OptionFigures,
    Series,
)
from panelworth.engine.results.funded_months import FundedMonths
from panelworth.engine.results.trials import OptionUncertainty, Uncertainty
from panelworth.engine.returns.benefit import factors_of, total_benefit, without_growth
from panelworth.engine.returns.breakeven import break_evens
from panelworth.engine.returns.comparison import equal_cash_charges, likely_figures, scalar
from panelworth.engine.returns.hours_curve import hours_curve
from panelworth.engine.returns.scale import ROUNDING, scale_of
from panelworth.engine.returns.swings import swings_of
from panelworth.engine.trials import Trials, likely_trial
from panelworth.engine.uncertainty.simulation import Progress, simulate
from panelworth.model.case import Case
from panelworth.model.option import Option

NO_CURVE = HoursCurve(hours=(), net_benefit={}, cost_per_hour={})


def evaluate(
    case: Case,
    *,
    trials: int | None = None,
    progress: Progress | None = None,
    pages: bool = True,
) -> Figures:
    """Return every figure of a case; `trials` is the file's number unless given.

    Without `pages`, the results that only pages show are left out: the airplane, the project's
    progress, prices and the curve over hours. They take as long as the figures of figures.json.
    """
    # The trials come first: the raise that they give is then held in the likely view too.
    moved = moved_case(case)
    likely, scenario = likely_trial(case), case.scenario
    uncertainty = simulate(case, moved=moved, trials=trials, progress=progress)
    flows = {option_id: flows_of(case, option_id, likely) for option_id in case.options}
    funded = {
        option_id: funded_figures(case, flows[option_id], uncertainty.options[option_id].solved)
        for option_id in case.options
    }
    allowed = _allowed_starts(moved, flows, uncertainty, likely)
    return Figures(
        scenario=case.name,
        as_of=scenario.as_of.isoformat(),
        currency=scenario.currency,
        baseline=scenario.baseline,
        years=scenario.years,
        options={
            option_id: _option_figures(
                case,
                flows,
                option_id,
                funded=funded[option_id][0],
                allowed=allowed.get(option_id),
                weeks_p80=uncertainty.options[option_id].weeks_p80,
            )
            for option_id in case.options
        },
        series={
            option_id: _series(case, flows[option_id], funded[option_id][1])
            for option_id in case.options
        },
        by_hours=hours_curve(case, likely) if pages else NO_CURVE,
        uncertainty=uncertainty,
        airplane=_airplane(case) if pages else AirplaneFigures(),
        project_progress=progress_of(case, flows, uncertainty.trials) if pages else {},
        prices=price_lists(case) if pages else {},
        project=project_report(case, uncertainty),
        squawks=squawk_figures(case.written),
        offer_tables=offer_tables(case) if pages else {},
    )


def _airplane(case: Case) -> AirplaneFigures:
    # Imported here because only pages need it: other commands then start faster.
    from panelworth.engine.airplane.airplane_figures import airplane_figures  # noqa: PLC0415

    return airplane_figures(case)


def _option_figures(
    case: Case,
    flows: dict[str, Flows],
    option_id: str,
    *,
    funded: Funded | None,
    allowed: AllowedStart | None,
    weeks_p80: float,
) -> OptionFigures:
    option, option_flows, baseline = (
        case.options[option_id],
        flows[option_id],
        flows[case.scenario.baseline],
    )
    tolerance = ROUNDING * scale_of(*flows.values())
    likely = likely_figures(option_flows, baseline, without_growth=without_growth(case, option_id))
    even = break_evens(case, option_id, tolerance=tolerance)
    values = {key: even_point.value for key, even_point in even.items()}
    # The search gives a multiple of the likely project; figures.json reports the amount of money.
    multiple = values.get("project")
    if multiple is not None:
        values["project"] = likely.project * multiple
    return OptionFigures(
        title=option.title,
        kind=option.kind,
        likely=likely,
        break_even=BreakEven(**values),
        break_even_why={key: even_point.why for key, even_point in even.items() if even_point.why},
        break_even_side={
            key: even_point.side for key, even_point in even.items() if even_point.side
        },
        to_be_whole=equal_cash_charges(option_flows, baseline),
        funded=funded,
        bills=bills(case, option_flows, funded),
        swings=swings_of(case, option_id, option_flows.context.trials, tolerance=tolerance),
        airframe=airframe_figures(case, option_id),
        downtime=downtime_figures(case, option_id, weeks_p80),
        allowed_start=allowed,
        offers=offers_of(case, option_id) or None,
    )


def _allowed_starts(
    moved: Case, planned: dict[str, Flows], uncertainty: Uncertainty, likely: Trials
) -> dict[str, AllowedStart]:
    """Return the figures of each refused option from its first allowed start."""
    later = {option_id: flows_of(moved, option_id, likely) for option_id in uncertainty.moved}
    # A refused baseline is compared from its own allowed start as well.
    leading = {**planned, **later}
    baseline = leading[moved.scenario.baseline]
    return {
        option_id: _allowed_start(moved, option_flows, baseline, uncertainty.moved[option_id])
        for option_id, option_flows in later.items()
    }


def _allowed_start(
    moved: Case, option_flows: Flows, baseline: Flows, uncertainty: OptionUncertainty
) -> AllowedStart:
    schedule = option_flows.context.option.schedule
    if schedule is None or schedule.order is None:  # moved_case sets both
        raise ValueError("only an option with a schedule can be moved")
    funded, _ = funded_figures(moved, option_flows, uncertainty.solved)
    reserve = uncertainty.reserve
    return AllowedStart(
        start=schedule.start.isoformat(),
        order=schedule.order.isoformat(),
        finish=schedule.likely_finish.isoformat(),
        net_benefit=scalar(total_benefit(option_flows) - total_benefit(baseline)),
        outcomes=uncertainty.outcomes,
        ahead_of=uncertainty.ahead_of,
        bills=bills(moved, option_flows, funded),
        funded=funded,
        budget_p80=uncertainty.budget_p80,
        chance_below_floor=reserve.chance_below_floor if reserve else None,
        chance_below_floor_by_year=reserve.chance_below_floor_by_year if reserve else None,
        shortfall_p50=reserve.shortfall_p50 if reserve else None,
        reserve_by_year=reserve.reserve_by_year if reserve else None,
    )


def _series(case: Case, flows: Flows, funded: FundedMonths | None) -> Series:
    dates = flows.context.dates
    start, finish = _days(flows.context.option, case)
    return Series(
        start=start,
        finish=finish,
        start_month=int(dates[0].start[0]),
        finish_month=int(dates[-1].finish[0]),
        rows={name: likely_months(row) for name, row in flows.rows.items()},
        net=likely_months(flows.net),
        cost=likely_months(flows.cost),
        running=likely_months(flows.running),
        invested=likely_months(flows.invested),
        benefit=likely_months(flows.benefit),
        hours=likely_months(flows.hours),
        members=likely_months(flows.members),
        failing_units=flows.context.failing_units,
        factors=_factors(flows),
        payments=likely_payments(flows.context),
        funded=funded,
        loan=loan_schedule(flows),
    )


def _factors(flows: Flows) -> dict[str, tuple[float, ...]]:
    context = flows.context
    factors = {
        "down": context.down,
        "grounded": failed.grounded if (failed := failures(context)) else np.zeros((1, 1)),
        "prices": by_month(context.months, context.costs),
        "fuel": by_month(context.months, context.fuel),
        "discount": factors_of(flows),
    }
    return {name: likely_months(row) for name, row in factors.items()}


def _days(option: Option, case: Case) -> tuple[str, str]:
    if option.schedule is None:
        return case.scenario.as_of.isoformat(), case.scenario.as_of.isoformat()
    return option.schedule.start.isoformat(), option.schedule.likely_finish.isoformat()
