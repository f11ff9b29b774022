"""The figures as formulas over the months, one function a figure, as in engine/comparison.py."""

from collections.abc import Callable

from panelworth.publishing.workbook.terms import Table, Terms
from panelworth.publishing.workbook.words import NEVER, NONE, SEVERAL, word

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
    theirs = Terms(book=terms.book, option_id=terms.view.figures.baseline)
    return f"{figure(terms, 'npv')}-{figure(theirs, 'npv')}"


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
    """Return the first month from which the running sum stays at or above 0; 0 if always."""

    def formula(terms: Terms, table: Table) -> str:
        until = f"MAX({table.whole(f'{worth}behind')})"
        return f'IF({until}>{terms.given("horizon.months")},"{word(NEVER)}",{until})'

    return formula


def first(worth: str) -> Formula:
    """Return the first month in which the running sum is back at or above 0; 0 if never below."""

    def formula(_: Terms, table: Table) -> str:
        back, behind = table.whole(f"{worth}back"), table.whole(f"{worth}behind")
        return f'IF(COUNT({back})>0,MIN({back}),IF(MAX({behind})=0,0,"{word(NEVER)}"))'

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


def whole_dues(terms: Terms, table: Table) -> str:
    """-Δnpv / Σ members·d."""
    return per(f"-{figure(terms, 'npv_vs_baseline')}", present(table, "members", 1))


def whole_rate(terms: Terms, table: Table) -> str:
    """-Δnpv / Σ hours·d."""
    return per(f"-{figure(terms, 'npv_vs_baseline')}", present(table, "hours"))


def whole_assessment(terms: Terms, table: Table) -> str:
    """-Δnpv / members(0)."""
    return per(f"-{figure(terms, 'npv_vs_baseline')}", table.cell("members", 0))


LIKELY: dict[str, Formula] = {
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


def solve_month(terms: Terms, table: Table) -> str:
    """Return the month whose balance sets the solved raise."""
    if terms.option.funding.solve is None:
        return f'"{NONE}"'
    needed, up = table.whole("needed"), terms.own("raise")
    return f'IF(N({up})>0,MATCH(MAX({needed}),{needed},0)-1,"{NONE}")'


def asked(solve: str, key: str) -> Formula:
    """Return a raise as the file gives it, or as it is worked out."""
    return lambda terms, _: (
        terms.own("raise") if terms.option.funding.solve == solve else terms.own(f"funding.{key}")
    )


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
    "dues_increase": asked("dues", "dues_increase"),
    "hourly_rate_increase": asked("hourly_rate", "hourly_rate_increase"),
    "assessment_per_member": asked("assessment", "assessment_per_member"),
    "solve_month": solve_month,
}
LOAN: dict[str, Formula] = {
    "loan_payment": loan_payment,
    "loan_interest": loan_interest,
    "debt_at_end": debt_at_end,
}


def bill(terms: Terms, profile: str) -> str:
    """Return dues + increase + hours/12·(hourly rate at the end + increase)."""
    increases = [terms.own(f"funded.{key}") for key in ("dues_increase", "hourly_rate_increase")]
    dues = f"{terms.given('club.dues_per_month')}+N({increases[0]})"
    rate = f"({terms.finally_('hourly_rate')}+N({increases[1]}))"
    return f"{dues}+{terms.given(f'club.profiles[{profile}].hours_per_year')}/12*{rate}"
