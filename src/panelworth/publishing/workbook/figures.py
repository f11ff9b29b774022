"""The figures as formulas over the months, one function a figure, as in returns/comparison.py."""

from collections.abc import Callable

from panelworth.publishing.workbook.reserve import SOLVED
from panelworth.publishing.workbook.terms import Table, Terms
from panelworth.publishing.workbook.words import NEVER, NO_RAISE, NONE, SEVERAL, word

Formula = Callable[[Terms, Table], str]


def outlay(terms: Terms, _: Table) -> str:
    """Project and purchase, tax in."""
    return _totals(terms, "project", "purchase")


def upfront(terms: Terms, _: Table) -> str:
    """Outlay less money in and sale proceeds."""
    money_in = _totals(terms, "credits", "sale")
    return f"{figure(terms, 'outlay')}-({money_in})"


def _totals(terms: Terms, *kinds: str) -> str:
    names = [terms.path(f"{kind}_total") for kind in kinds]
    return "+".join(terms.given(name) for name in names if name in terms.book.names) or "0"


def figure(terms: Terms, key: str) -> str:
    """Return the name of another of the option's figures."""
    return terms.own(f"likely.{key}")


def present(table: Table, key: str, first: int = 0) -> str:
    """Present value of a column: Σ flow·d."""
    return f"SUMPRODUCT({table.whole(key, first)},{table.whole('discount', first)})"


def npv(terms: Terms, table: Table) -> str:
    """Σ net·d + end·d(H)."""
    return f"{present(table, 'net')}+{_end(terms, table)}"


def _end(terms: Terms, table: Table) -> str:
    return f"{terms.own('end_value')}*{table.cell('discount', table.months)}"


def cost_npv(terms: Terms, table: Table) -> str:
    """value·(1-selling_cost) + Σ cost·d - end·d(H)."""
    value, selling = terms.given("aircraft.value"), terms.given("aircraft.selling_cost")
    return f"{value}*(1-{selling})+{present(table, 'cost')}-{_end(terms, table)}"


def npv_vs_baseline(terms: Terms, _: Table) -> str:
    """Return the option's npv less the baseline's."""
    return f"{figure(terms, 'npv')}-{figure(_baseline(terms), 'npv')}"


def _baseline(terms: Terms) -> Terms:
    return Terms(book=terms.book, option_id=terms.view.figures.baseline)


def net_benefit(terms: Terms, _: Table) -> str:
    """Add up the parts."""
    parts = [key for key in PARTS if terms.path(f"likely.parts.{key}") in terms.book.names]
    return "+".join(figure(terms, f"parts.{key}") for key in parts)


def more(key: str) -> Formula:
    """Return the present value of a column less the baseline's."""
    return lambda _, table: f"{present(table, key)}-{present(baseline_of(table), key)}"


def less(key: str) -> Formula:
    """Return the present value of the baseline's column less the option's: what costs less."""
    return lambda _, table: f"{present(baseline_of(table), key)}-{present(table, key)}"


def baseline_of(table: Table) -> Table:
    """Return the baseline's months, an option's own being the others'."""
    if table.baseline is None:
        raise ValueError("the baseline is not compared with itself")
    return table.baseline


def _end_more(terms: Terms, table: Table) -> str:
    """(end - the baseline's end)·d(H)."""
    ends = f"({terms.own('end_value')}-{_baseline(terms).own('end_value')})"
    return f"{ends}*{table.cell('discount', table.months)}"


def loan_npv(terms: Terms, table: Table) -> str:
    """Σ (drawn - payment)·d - debt·d(H); 0 without a loan."""
    if not terms.series.loan:
        return "0"
    owed = f"{terms.own('funded.debt_at_end')}*{table.cell('discount', table.months)}"
    return f"{present(table, 'loan')}-{owed}"


def _loan_more(terms: Terms, _: Table) -> str:
    return f"{figure(terms, 'loan_npv')}-{figure(_baseline(terms), 'loan_npv')}"


def cost_per_hour(terms: Terms, table: Table) -> str:
    """cost_npv / Σ hours·d."""
    return per(figure(terms, "cost_npv"), present(table, "hours"))


def cost_per_member_month(terms: Terms, table: Table) -> str:
    """cost_npv / Σ members·d from month 1."""
    return per(figure(terms, "cost_npv"), present(table, "members", 1))


def per(money: str, count: str) -> str:
    """Divide, where there is anything to divide by."""
    return f'IF({count}>0,{money}/{count},"{NONE}")'


def equivalent_annual_cost(terms: Terms, _: Table) -> str:
    """Return the level yearly sum of the same worth: cost_npv·r/(1-(1+r)^-years)."""
    rate, years = terms.given("rates.discount"), terms.given("horizon.years")
    return f"-PMT({rate},{years},{figure(terms, 'cost_npv')})"


def end_value(terms: Terms, _: Table) -> str:
    """Return what the airplane would bring at the end."""
    return terms.own("end_value")


def lasting(worth: str) -> Formula:
    """Return the first month from which the running sum stays at or above 0; 0 if always.

    Not before the last project flow, as engine/returns/rates_of_return.py says.
    """

    def formula(terms: Terms, table: Table) -> str:
        until = f"MAX({table.whole(f'{worth}behind')})"
        back = f"MAX({until},{terms.own('settled_month')})"
        never = f'IF({until}>{terms.given("horizon.months")},"{word(NEVER)}",{back})'
        return f"IF({until}=0,0,{never})"

    return formula


def first(worth: str) -> Formula:
    """Return the first month in which the running sum is back at or above 0; 0 if never below."""

    def formula(_: Terms, table: Table) -> str:
        back, behind = table.whole(f"{worth}back"), table.whole(f"{worth}behind")
        found = f'IF(COUNT({back})>0,MIN({back}),"{word(NEVER)}")'
        return f"IF(MAX({behind})=0,0,{found})"

    return formula


def irr(terms: Terms, table: Table) -> str:
    """Return the yearly rate at which the difference is worth nothing, if there is just one."""
    rate = f"(1+IRR({table.whole('with_end')},{terms.own('rate_guess')}))^12-1"
    turns = terms.own("turns")
    return f'IF({turns}=1,{rate},IF({turns}=0,"{NONE}","{word(SEVERAL)}"))'


def mirr(terms: Terms, table: Table) -> str:
    """Return the modified rate, both its rates the discount rate; flows must have both signs."""
    monthly, flows = terms.given("rates.discount_a_month"), table.whole("with_end")
    rate = f"(1+MIRR({flows},{monthly},{monthly}))^12-1"
    return f'IF(AND(MIN({flows})<0,MAX({flows})>0),{rate},"{NONE}")'


def savings_to_investment(_: Terms, table: Table) -> str:
    """PV(difference without project flows, with that of end values) / PV(put in)."""
    put_in = present(table, "invested")
    savings = f"({present(table, 'with_end')}+{put_in})"
    return f'IF({put_in}>0.005,{savings}/{put_in},"{NONE}")'


def adjusted_irr(terms: Terms, _: Table) -> str:
    """(1+r)·SIR^(1/years) - 1."""
    ratio, rate = figure(terms, "savings_to_investment"), terms.given("rates.discount")
    return (
        f'IF(N({ratio})<0,"{NONE}",IF(ISNUMBER({ratio}),'
        f'(1+{rate})*{ratio}^(1/{terms.given("horizon.years")})-1,"{NONE}"))'
    )


def _shortfall(terms: Terms, table: Table) -> str:
    """-(Σ Δnet·d + Δloan_npv): the cash without any value at the end."""
    cash = f"{figure(terms, 'npv_vs_baseline')}-{_end_more(terms, table)}"
    return f"-({cash}+{_loan_more(terms, table)})"


def whole_dues(terms: Terms, table: Table) -> str:
    """-T / Σ members·d."""
    return per(_shortfall(terms, table), present(table, "members", 1))


def whole_rate(terms: Terms, table: Table) -> str:
    """-T / Σ hours·d."""
    return per(_shortfall(terms, table), present(table, "hours"))


def whole_assessment(terms: Terms, table: Table) -> str:
    """-T / members(0)."""
    return per(_shortfall(terms, table), table.cell("members", 0))


PARTS: dict[str, Formula] = {
    "running": less("running_costs"),
    "project": less("project_net"),
    "airplane_value": _end_more,
    "hours": more("worth"),
    "members": more("newcomers"),
    "loan": _loan_more,
}
LIKELY: dict[str, Formula] = {
    "net_benefit": net_benefit,
    "loan_npv": loan_npv,
    "project": lambda terms, _: terms.own("project_total"),
    "outlay": outlay,
    "upfront": upfront,
    "npv": npv,
    "npv_vs_baseline": npv_vs_baseline,
    "cost_npv": cost_npv,
    "cost_per_hour": cost_per_hour,
    "cost_per_member_month": cost_per_member_month,
    "equivalent_annual_cost": equivalent_annual_cost,
    "end_value": end_value,
    "payback_months": lasting(""),
    "first_payback_months": first(""),
    "discounted_payback_months": lasting("discounted "),
    "first_discounted_payback_months": first("discounted "),
    "irr": irr,
    "mirr": mirr,
    "savings_to_investment": savings_to_investment,
    "adjusted_irr": adjusted_irr,
}
TO_BE_WHOLE: dict[str, Formula] = {
    "dues_per_member_month": whole_dues,
    "hourly_rate": whole_rate,
    "assessment_per_member": whole_assessment,
}


def lowest_balance(_: Terms, table: Table) -> str:
    """Return the reserve at its lowest."""
    return f"MIN({table.whole('reserve')})"


def lowest_balance_month(_: Terms, table: Table) -> str:
    """Return the first month in which it is there."""
    return f"MIN({table.whole('lowest')})"


def below_floor_month(_: Terms, table: Table) -> str:
    """Return the first month below the floor."""
    below = table.whole("below")
    return f'IF(COUNT({below})=0,"{word(NEVER)}",MIN({below}))'


def balance_at_end(_: Terms, table: Table) -> str:
    """Return the reserve at the end."""
    return table.cell("reserve", table.months)


def solve_likely(terms: Terms, table: Table) -> str:
    """Return the least raise that holds the floor at likely values, up to the cent."""
    if terms.option.funding.solve is None:
        return f'"{NONE}"'
    needed = table.whole("needed")
    up = f"MAX(0,ROUNDUP(MAX({needed})-0.00000001,2))"
    return f'IF(COUNT({needed})<={terms.given("floor_months")},"{word(NO_RAISE)}",{up})'


def asked(key: str) -> Formula:
    """Return a raise as the file gives it, or as the draws found it."""
    return lambda terms, _: terms.own(f"funding.{key}")


def lowest_coverage(_: Terms, table: Table) -> str:
    """Return the least cover of the loan in any year."""
    cover = table.whole("cover")
    return f'IF(COUNT({cover})=0,"{NONE}",MIN({cover}))'


def lowest_coverage_year(_: Terms, table: Table) -> str:
    """Return the first year in which it is there."""
    cover = table.whole("cover")
    return f'IF(COUNT({cover})=0,"{NONE}",(MATCH(MIN({cover}),{cover},0)-1)/12)'


def loan_payment(terms: Terms, _: Table) -> str:
    """Return the level payment."""
    return terms.own("loan_payment")


def loan_interest(terms: Terms, _: Table) -> str:
    """Interest over the loan's whole life."""
    return f"SUM({terms.own('loan_interest')})"


def debt_at_end(terms: Terms, _: Table) -> str:
    """Return what is still owed at the horizon."""
    last, drawn = terms.given("horizon.months"), terms.own("loan_drawn")
    owed = f"INDEX({terms.own('loan_owed')},{last}-{drawn})"
    return f"IF({last}={drawn},{terms.own('loan_principal')},{owed})"


RESERVE: dict[str, Formula] = {
    "lowest_balance": lowest_balance,
    "lowest_balance_month": lowest_balance_month,
    "below_floor_month": below_floor_month,
    "balance_at_end": balance_at_end,
    "dues_increase": asked("dues_increase"),
    "hourly_rate_increase": asked("hourly_rate_increase"),
    "assessment_per_member": asked("assessment_per_member"),
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


def bill(terms: Terms, profile: str) -> str:
    """Return dues + increase + hours/12·(hourly rate at the end + increase); none if unfunded."""
    raises = [terms.own(f"funding.{key}") for key in SOLVED.values()]
    dues = f"{terms.given('club.dues_per_month')}+{raises[0]}"
    rate = f"({terms.final_value('hourly_rate')}+{raises[1]})"
    flown = f"{terms.given(f'club.profiles[{profile}].hours_per_year')}/12"
    return f'IF(COUNT({",".join(raises)})=3,{dues}+{flown}*{rate},"{NONE}")'
