"""The figures as formulas over the months, one function for each, as in returns/comparison.py.

Docstrings use the engine's symbols: d is the discount factor of a month, H the last month.
"""

from collections.abc import Callable

from panelworth.model.club import (
    Profile,
)
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.incremental import Discounting
from panelworth.publishing.workbook.month_table import MonthTable
from panelworth.publishing.workbook.names import RAISE_KEYS, Raise, SharedStep
from panelworth.publishing.workbook.reserve_columns import HALF_A_CENT, after_drawing, raise_of
from panelworth.publishing.workbook.words import NEVER, NO_RAISE, NONE, SEVERAL, word

Formula = Callable[[FormulaContext, MonthTable], str]


def outlay(context: FormulaContext, _: MonthTable) -> str:
    """Project and purchase, with tax."""
    return _totals(context, "project", "purchase")


def upfront(context: FormulaContext, _: MonthTable) -> str:
    """Outlay less money in and sale proceeds."""
    money_in = _totals(context, "credits", "sale")
    return f"{figure(context, 'outlay')}-({money_in})"


def _totals(context: FormulaContext, *kinds: str) -> str:
    keys = [f"{kind}_total" for kind in kinds]
    return "+".join(context.cell(key) for key in keys if context.has_cell(key)) or "0"


def figure(context: FormulaContext, key: str) -> str:
    """Return the cell of another of the option's figures at likely values."""
    return context.cell(f"likely.{key}")


def present(table: MonthTable, key: str, first: int = 0) -> str:
    """Present value of a column: Σ flow·d."""
    return f"SUMPRODUCT({table.column(key, first)},{table.column('discount', first)})"


def at_the_end(money: str, table: MonthTable) -> str:
    """Present value of money at the end of the last month: money·d(H)."""
    return f"{money}*{table.cell('discount', table.months)}"


def npv(context: FormulaContext, table: MonthTable) -> str:
    """Σ net·d + end·d(H)."""
    return f"{present(table, 'net')}+{at_the_end(context.cell('end_value'), table)}"


def cost_npv(context: FormulaContext, table: MonthTable) -> str:
    """value·(1-selling_cost) + Σ cost·d - end·d(H)."""
    given_up = f"{context.aircraft.value}*(1-{context.aircraft.selling_cost})"
    end = at_the_end(context.cell("end_value"), table)
    return f"{given_up}+{present(table, 'cost')}-{end}"


def npv_vs_baseline(context: FormulaContext, _: MonthTable) -> str:
    """Return the option's npv less the baseline's."""
    return _less_baseline(context, "npv")


def _less_baseline(context: FormulaContext, key: str) -> str:
    return f"{figure(context, key)}-{figure(context.compared, key)}"


def net_benefit(context: FormulaContext, _: MonthTable) -> str:
    """Sum of its parts; an owner's has none of members."""
    parts = [f"parts.{key}" for key in PARTS]
    return "+".join(figure(context, key) for key in parts if context.has_cell(f"likely.{key}"))


def gain(key: str) -> Formula:
    """Present value of a column less that of the baseline's."""
    return lambda _, table: f"{present(table, key)}-{present(baseline_of(table), key)}"


def saving(key: str) -> Formula:
    """Present value of the baseline's column less that of the option's: what costs less."""
    return lambda _, table: f"{present(baseline_of(table), key)}-{present(table, key)}"


def baseline_of(table: MonthTable) -> MonthTable:
    """Return the baseline's months."""
    if table.baseline is None:
        raise ValueError("the baseline is not compared with itself")
    return table.baseline


def _end_value_gain(context: FormulaContext, table: MonthTable) -> str:
    """(end - the baseline's end)·d(H)."""
    ends = f"({context.cell('end_value')}-{context.compared.cell('end_value')})"
    return at_the_end(ends, table)


def loan_npv(context: FormulaContext, table: MonthTable) -> str:
    """Σ (drawn - payment)·d - debt·d(H); 0 without a loan."""
    if not context.series.loan:
        return "0"
    owed = at_the_end(context.cell("funded.debt_at_end"), table)
    return f"{present(table, 'loan')}-{owed}"


def _loan_gain(context: FormulaContext, _: MonthTable) -> str:
    """loan_npv less the baseline's."""
    return _less_baseline(context, "loan_npv")


def cost_per_hour(context: FormulaContext, table: MonthTable) -> str:
    """cost_npv / Σ hours·d."""
    return quotient(figure(context, "cost_npv"), present(table, "hours"))


def cost_per_member_month(context: FormulaContext, table: MonthTable) -> str:
    """cost_npv / Σ members·d from month 1."""
    return quotient(figure(context, "cost_npv"), present(table, "members", 1))


def quotient(money: str, count: str) -> str:
    """Money / count, where count is above 0."""
    return f'IF({count}>0,{money}/{count},"{NONE}")'


def equivalent_annual_cost(context: FormulaContext, _: MonthTable) -> str:
    """Return the level yearly sum of the same present value: cost_npv·r/(1-(1+r)^-years)."""
    rate, years = context.scenario_cells.rates.discount, context.shared(SharedStep.YEARS)
    return f"-PMT({rate},{years},{figure(context, 'cost_npv')})"


def end_value(context: FormulaContext, _: MonthTable) -> str:
    """Return what the airplane would bring at the end."""
    return context.cell("end_value")


def lasting_payback(discounting: Discounting) -> Formula:
    """Return the first month from which the cumulative sum stays at or above 0; 0 if always.

    Not before the last project flow, as in engine/returns/rates_of_return.py.
    """

    def formula(context: FormulaContext, table: MonthTable) -> str:
        until = f"MAX({table.column(f'{discounting}behind')})"
        month = f"MAX({until},{context.cell('settled_month')})"
        last = context.shared(SharedStep.MONTHS)
        return f'IF({until}=0,0,IF({until}>{last},"{word(NEVER)}",{month}))'

    return formula


def first_payback(discounting: Discounting) -> Formula:
    """Return the first month in which the sum is back at or above 0; 0 if it is never below."""

    def formula(_: FormulaContext, table: MonthTable) -> str:
        behind, recovered = (table.column(f"{discounting}{key}") for key in ("behind", "recovered"))
        month = f'IF(COUNT({recovered})>0,MIN({recovered}),"{word(NEVER)}")'
        return f"IF(MAX({behind})=0,0,{month})"

    return formula


def if_any(cells: str, formula: str, otherwise: str) -> str:
    """Return a formula of cells where any of them holds a number, else a word."""
    return f'IF(COUNT({cells})=0,"{otherwise}",{formula})'


def a_year(monthly_rate: str) -> str:
    """Effective rate a year: (1 + monthly rate)^12 - 1."""
    return f"(1+{monthly_rate})^12-1"


def irr(context: FormulaContext, table: MonthTable) -> str:
    """Return the yearly rate at which the present value of the difference is 0, if there is one.

    The Rates sheet counts such rates (`turns`) and gives the guess that IRR starts from.
    """
    rate = a_year(f"IRR({table.column('with_end')},{context.cell('rate_guess')})")
    turns = context.cell("turns")
    return f'IF({turns}=1,{rate},IF({turns}=0,"{NONE}","{word(SEVERAL)}"))'


def mirr(context: FormulaContext, table: MonthTable) -> str:
    """Return the modified rate of return, a year; the flows must have both signs.

    It finances and reinvests at the discount rate.
    """
    monthly, flows = context.shared(SharedStep.MONTHLY_DISCOUNT), table.column("with_end")
    rate = a_year(f"MIRR({flows},{monthly},{monthly})")
    return f'IF(AND(MIN({flows})<0,MAX({flows})>0),{rate},"{NONE}")'


def savings_to_investment(_: FormulaContext, table: MonthTable) -> str:
    """PV(savings) / PV(invested), both against the baseline.

    Savings are the difference with that of end values, but without project flows.
    """
    invested = present(table, "invested")
    savings = f"({present(table, 'with_end')}+{invested})"
    return f'IF({invested}>{HALF_A_CENT},{savings}/{invested},"{NONE}")'


def adjusted_irr(context: FormulaContext, _: MonthTable) -> str:
    """(1+r)·SIR^(1/years) - 1, SIR the savings-to-investment ratio, r the discount rate."""
    ratio, years = figure(context, "savings_to_investment"), context.shared(SharedStep.YEARS)
    rate = f"(1+{context.scenario_cells.rates.discount})*{ratio}^(1/{years})-1"
    return f'IF(N({ratio})<0,"{NONE}",IF(ISNUMBER({ratio}),{rate},"{NONE}"))'


def _shortfall(context: FormulaContext, table: MonthTable) -> str:
    """-(Σ Δnet·d + Δloan_npv): what the club's cash falls short of the baseline's.

    Without the value at the end, which no member can spend.
    """
    cash = f"{figure(context, 'npv_vs_baseline')}-{_end_value_gain(context, table)}"
    return f"-({cash}+{_loan_gain(context, table)})"


def dues_to_be_whole(context: FormulaContext, table: MonthTable) -> str:
    """Shortfall / Σ members·d from month 1."""
    return quotient(_shortfall(context, table), present(table, "members", 1))


def rate_to_be_whole(context: FormulaContext, table: MonthTable) -> str:
    """Shortfall / Σ hours·d."""
    return quotient(_shortfall(context, table), present(table, "hours"))


def assessment_to_be_whole(context: FormulaContext, table: MonthTable) -> str:
    """Shortfall / members(0)."""
    return quotient(_shortfall(context, table), table.cell("members", 0))


PARTS: dict[str, Formula] = {
    "running": saving("running_costs"),
    "project": saving("project_net"),
    "airplane_value": _end_value_gain,
    "hours": gain("worth"),
    "members": gain("newcomers"),
    "loan": _loan_gain,
}
LIKELY: dict[str, Formula] = {
    "net_benefit": net_benefit,
    "loan_npv": loan_npv,
    "project": lambda context, _: context.cell("project_total"),
    "outlay": outlay,
    "upfront": upfront,
    "npv": npv,
    "npv_vs_baseline": npv_vs_baseline,
    "cost_npv": cost_npv,
    "cost_per_hour": cost_per_hour,
    "cost_per_member_month": cost_per_member_month,
    "equivalent_annual_cost": equivalent_annual_cost,
    "end_value": end_value,
    "payback_months": lasting_payback(""),
    "first_payback_months": first_payback(""),
    "discounted_payback_months": lasting_payback("discounted "),
    "first_discounted_payback_months": first_payback("discounted "),
    "irr": irr,
    "mirr": mirr,
    "savings_to_investment": savings_to_investment,
    "adjusted_irr": adjusted_irr,
}
TO_BE_WHOLE: dict[str, Formula] = {
    "dues_per_member_month": dues_to_be_whole,
    "hourly_rate": rate_to_be_whole,
    "assessment_per_member": assessment_to_be_whole,
}


def lowest_balance(_: FormulaContext, table: MonthTable) -> str:
    """Return the reserve at its lowest."""
    return f"MIN({table.column('reserve')})"


def lowest_balance_month(_: FormulaContext, table: MonthTable) -> str:
    """Return the first month in which the reserve is at its lowest."""
    return f"MIN({table.column('lowest')})"


def below_floor_month(_: FormulaContext, table: MonthTable) -> str:
    """Return the first month below the floor."""
    below = table.column("below")
    return if_any(below, f"MIN({below})", word(NEVER))


def balance_at_end(_: FormulaContext, table: MonthTable) -> str:
    """Return the reserve at the end."""
    return table.cell("reserve", table.months)


def solve_likely(context: FormulaContext, table: MonthTable) -> str:
    """Return the least raise that holds the floor at likely values, up to the cent."""
    if context.option.funding.solve is None:
        return f'"{NONE}"'
    needed = table.column("needed")
    # A hundred-millionth less: floating point must not round a whole cent up to the next.
    rounded_up = f"MAX(0,ROUNDUP(MAX({needed})-0.00000001,2))"
    # A month with a word in it has no number: there no raise is enough.
    months = context.shared(SharedStep.FLOOR_MONTHS)
    return f'IF(COUNT({needed})<={months},"{word(NO_RAISE)}",{rounded_up})'


def stated_raise(solve: Raise) -> Formula:
    """Return a raise as the file states it, or as it was solved over the draws."""
    return lambda context, _: f"{raise_of(context.option_cells.funding, solve)}"


def lowest_coverage(_: FormulaContext, table: MonthTable) -> str:
    """Return the least cover of the loan in any year."""
    cover = table.column("cover")
    return if_any(cover, f"MIN({cover})", NONE)


def lowest_coverage_year(_: FormulaContext, table: MonthTable) -> str:
    """Return the first year with the least cover."""
    cover = table.column("cover")
    return if_any(cover, f"(MATCH(MIN({cover}),{cover},0)-1)/12", NONE)


def loan_payment(context: FormulaContext, _: MonthTable) -> str:
    """Return the level payment."""
    return context.cell("loan_payment")


def loan_interest(context: FormulaContext, _: MonthTable) -> str:
    """Interest over the loan's whole life."""
    return f"SUM({context.cell('loan_interest')})"


def debt_at_end(context: FormulaContext, _: MonthTable) -> str:
    """Return what is still owed at the horizon."""
    last, drawn = context.shared(SharedStep.MONTHS), context.cell("loan_drawn")
    owed = after_drawing(context, "loan_owed", last)
    return f"IF({last}={drawn},{context.cell('loan_principal')},{owed})"


RESERVE: dict[str, Formula] = {
    "lowest_balance": lowest_balance,
    "lowest_balance_month": lowest_balance_month,
    "below_floor_month": below_floor_month,
    "balance_at_end": balance_at_end,
    "dues_increase": stated_raise("dues"),
    "hourly_rate_increase": stated_raise("hourly_rate"),
    "assessment_per_member": stated_raise("assessment"),
    "solve_likely": solve_likely,
}
LOAN: dict[str, Formula] = {
    "loan_payment": loan_payment,
    "loan_interest": loan_interest,
    "debt_at_end": debt_at_end,
}
COVERAGE: dict[str, Formula] = {
    "lowest_coverage": lowest_coverage,
    "lowest_coverage_year": lowest_coverage_year,
}


def bill(context: FormulaContext, profile: Profile) -> str:
    """Dues + increase + hours/12·(hourly rate after the finish + increase), a month.

    There is none where no raise holds the floor: its cell has a word then, no number. `profile` is
    a record of cells.
    """
    funding = context.option_cells.funding
    raises = [f"{raise_of(funding, solve)}" for solve in RAISE_KEYS]
    dues = f"{context.club.dues_per_month}+{funding.dues_increase}"
    rate = f"({context.aircraft_after.hourly_rate}+{funding.hourly_rate_increase})"
    flying = f"{profile.hours_per_year}/12*{rate}"
    return f'IF(COUNT({",".join(raises)})=3,{dues}+{flying},"{NONE}")'
