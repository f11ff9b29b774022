"""A loan's level payment at rates down to nothing, against exact fractions.

The annuity formula as in any textbook of finance (from memory): P·i/(1 - (1 + i)^-n).
"""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest

from panelworth.engine.cash_flow.loans import repayment


def exactly(principal: int, apr: float, months: int) -> float:
    """Return the payment, worked out in fractions, rounded to the cent once."""
    rate = Fraction(str(apr)) / 12
    payment = (
        principal * rate / (1 - (1 + rate) ** -months) if rate else Fraction(principal, months)
    )
    exact = Decimal(payment.numerator) / Decimal(payment.denominator)
    return float(exact.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP))


@pytest.mark.parametrize("apr", [0.0, 1e-320, 1e-31, 1e-28, 1e-20, 1e-9, 1e-4, 0.0825, 0.4])
@pytest.mark.parametrize(("principal", "months"), [(56000, 60), (1000, 1), (999_999_999, 360)])
def test_the_payment_is_the_formula_s_at_any_rate(apr: float, principal: int, months: int) -> None:
    loan = repayment(principal, apr=apr, months=months)
    assert loan.payment == exactly(principal, apr, months)
    assert loan.balances[-1] == 0.0
    assert sum(map(Decimal, map(str, loan.payments))) == Decimal(str(loan.interest)) + principal
