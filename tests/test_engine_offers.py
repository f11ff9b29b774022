"""Whose quotes count, offers side by side, and the mix that nobody offered; worked out by head.

as_of is 2026-01-01. Display: 1000 with 10 % tax; Work: 500, no tax. A and B are suppliers.
"""

from pathlib import Path

import pytest

from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.ledger.offers import mixed_suppliers, offers_of
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case
from panelworth.plausible.folder import warnings_of
from panelworth.problems import render
from panelworth.reading.folder import read_case
from small_cases import case_in

HEAD = "date,option,item,kind,amount,supplier,expires,tax_included\n"
OPTION = """
title = "Refit"
kind = "retrofit"
{top}
[[items]]
name = "Display"
cost = 1000
tax = 0.1
{display}
[[items]]
name = "Work"
cost = 500
"""
BOTH = (
    "2025-10-01,refit,Display,quote,900,A,2026-03-31,no",
    "2025-10-01,refit,Work,quote,600,A,2026-02-28,no",
    "2025-10-02,refit,Display,quote,950,B,,no",
    "2025-10-03,refit,Work,quote,700,B,2026-01-31,no",
)


def ledger_case(folder: Path, *rows: str, top: str = "", display: str = "", rest: str = "") -> Case:
    """Read a folder with these rows in its ledger."""
    folder.mkdir(exist_ok=True)
    (folder / "ledger.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return case_in(folder, {"refit": OPTION.format(top=top, display=display)}, rest=rest)


def outlay(case: Case) -> float:
    """Return the likely outlay of the refit."""
    return float(flows_of(case, "refit", likely_trial(case)).project.outlay[0])


def warned(case: Case) -> list[str]:
    """Return the warnings about suppliers."""
    return [render(problem) for problem in warnings_of(case) if problem.key == "supplier"]


@pytest.mark.parametrize(
    ("rows", "top", "display", "expected"),
    [
        # Nobody is named: the newest of each item, 950·1.1 + 700.
        (BOTH, "", "", 1745.0),
        # 900·1.1 + 600, although B's quotes are newer.
        (BOTH, 'supplier = "A"', "", 1590.0),
        # The item's own supplier comes before the option's: 950·1.1 + 600.
        (BOTH, 'supplier = "A"', 'supplier = "B"', 1645.0),
        # Capitals and spaces do not matter.
        (BOTH, 'supplier = " a"', "", 1590.0),
        # A row without a supplier counts under every one, so it is A's newest: 800·1.1 + 600.
        ((*BOTH, "2025-10-09,refit,Display,quote,800,,,no"), 'supplier = "A"', "", 1480.0),
        # A's change belongs to A's quote: it does not move the newest one, which is B's.
        ((*BOTH, "2025-10-09,refit,Display,change,50,A,,no"), "", "", 1745.0),
        # It does where A counts: 950·1.1 + 600.
        ((*BOTH, "2025-10-09,refit,Display,change,50,A,,no"), 'supplier = "A"', "", 1645.0),
        # A change that names nobody belongs to the newest quote of any: 1000·1.1 + 700.
        ((*BOTH, "2025-10-09,refit,Display,change,50,,,no"), "", "", 1800.0),
        # Another supplier's estimate does not count, its invoice does: 1200·1.1 + 500.
        (
            (
                "2025-10-01,refit,Display,estimate,100,B,,no",
                "2025-10-02,refit,Display,invoice,1200,B,,no",
            ),
            'supplier = "A"',
            "",
            1820.0,
        ),
        # C has quoted nothing: the option file's own figures, 1000·1.1 + 500.
        (BOTH, 'supplier = "C"', "", 1600.0),
    ],
)
def test_only_a_named_supplier_s_quotes_set_the_prices(
    tmp_path: Path, rows: tuple[str, ...], top: str, display: str, expected: float
) -> None:
    assert outlay(ledger_case(tmp_path, *rows, top=top, display=display)) == pytest.approx(expected)


def test_offers_stand_side_by_side_with_what_is_missing_and_when_they_end(tmp_path: Path) -> None:
    more = ("2025-10-08,refit,Work,quote,650,,,no", "2025-10-09,refit,Display,change,55,A,,yes")
    rows = (*BOTH[:3], *more)
    offers = offers_of(ledger_case(tmp_path, *rows), "refit")
    assert list(offers) == ["A", "B"]
    # A: 900·1.1 + 55, and 650 by the row that names nobody; B: 950·1.1 and the same 650.
    assert offers["A"].total == pytest.approx(1695.0)
    assert offers["B"].total == pytest.approx(1695.0)
    assert offers["A"].missing == offers["B"].missing == ()
    assert (offers["A"].expires, offers["B"].expires) == ("2026-03-31", None)


def test_totals_are_compared_over_what_all_have_quoted(tmp_path: Path) -> None:
    offers = offers_of(ledger_case(tmp_path, *BOTH[:3]), "refit")
    assert (offers["A"].total, offers["B"].total) == pytest.approx((1590.0, 1045.0))
    assert (offers["A"].comparable, offers["B"].comparable) == pytest.approx((990.0, 1045.0))
    assert offers["B"].missing == ("Work",)
    assert offers["A"].expires == "2026-02-28"


def test_a_ledger_without_suppliers_has_no_offers(tmp_path: Path) -> None:
    case = ledger_case(tmp_path, "2025-10-01,refit,Display,quote,900,,,no")
    assert offers_of(case, "refit") == {}


def test_a_mix_that_nobody_offered_is_named(tmp_path: Path) -> None:
    rows = (*BOTH[:3], "2025-10-03,refit,Work,quote,700,A,,no")
    case = ledger_case(tmp_path, *rows)
    assert mixed_suppliers(case, "refit") == {"Display": "B", "Work": "A"}
    assert warned(case) == [
        (
            "ledger.csv:5: warning: supplier: expected one supplier's quotes for refit: "
            "nobody offered "
            "this mix, found Display by B, Work by A; "
            'write supplier = "…" in options/refit.toml, or in its items'
        )
    ]


def test_a_supplier_who_offered_nothing_is_asked_about(tmp_path: Path) -> None:
    rows = ("2025-10-01,refit,Display,quote,900,Northfield,,no",)
    assert warned(ledger_case(tmp_path, *rows, top='supplier = "northfield "')) == []
    [warning] = warned(ledger_case(tmp_path, *rows, top='supplier = "Northfeld"'))
    assert warning.startswith("options/refit.toml:")
    assert warning.endswith(
        "warning: supplier: expected a supplier with a quote or an estimate for refit in the "
        'ledger, found "Northfeld"; did you mean "Northfield"?'
    )
    # A row that names nobody counts under every supplier
    rows = ("2025-10-01,refit,Display,quote,900,,,no",)
    assert warned(ledger_case(tmp_path, *rows, top='supplier = "Northfeld"')) == []


@pytest.mark.parametrize(
    ("rows", "top"),
    [
        (BOTH, ""),  # all newest quotes are B's: that is B's offer
        ((BOTH[0], BOTH[3]), ""),  # each item has one supplier: nobody else was asked
        ((*BOTH[:3], "2025-10-03,refit,Work,quote,700,A,,no"), 'supplier = "A"'),
    ],
)
def test_what_is_no_mix_is_not_warned_about(
    tmp_path: Path, rows: tuple[str, ...], top: str
) -> None:
    case = ledger_case(tmp_path, *rows, top=top)
    assert mixed_suppliers(case, "refit") == {}
    assert warned(case) == []


def test_an_invoice_of_another_supplier_counts_and_is_warned_about(tmp_path: Path) -> None:
    row = "2025-10-02,refit,Display,invoice,1200,B,,no"
    case = ledger_case(tmp_path, row, top='supplier = "A"')
    assert warned(case) == [
        (
            "ledger.csv:2: warning: supplier: expected A, the supplier of Display, found B; "
            "it counts "
            "all the same; correct the name, or the item it belongs to"
        )
    ]


def test_a_change_needs_a_quote_of_its_own_supplier(tmp_path: Path) -> None:
    ledger_case(tmp_path, *BOTH)
    rows = [BOTH[0], "2025-10-09,refit,Display,change,50,B,,no"]
    (tmp_path / "ledger.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    case, problems = read_case(tmp_path)
    assert case is None
    errors = [render(problem) for problem in problems if problem.severity == "error"]
    assert errors == [
        (
            f"{tmp_path}/ledger.csv:3: error: kind: expected a quote by B for the item before its "
            "change, found none; a change adds to the quote before it; write the quote "
            "first, or an "
            "estimate"
        )
    ]
