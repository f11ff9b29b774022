"""figures.json has the keys of the method; CSV cells cannot start a formula."""

import csv
import io
import json
import re
import tomllib

import pandas as pd
import pytest

from panelworth.publishing.pages.method import method_page
from panelworth.publishing.site.csv_files import csv_text, figures_csv, flows_csv
from panelworth.publishing.site.json_files import figures_json
from panelworth.publishing.view import View
from panelworth.publishing.words.figure_words import likely_rows
from panelworth.publishing.workbook.document import workbook_of
from workbook_programs import formulas

OPTION_KEYS = [
    "title", "kind", "likely", "break_even", "break_even_why", "break_even_side", "to_be_whole",
    "funded", "bills", "range", "budget_p80", "chance_beats_baseline", "chance_best", "regret",
    "outcomes", "ahead_of", "chance_below_floor", "chance_below_floor_by_year", "shortfall_p50",
    "reserve_by_year", "swings", "airframe", "downtime", "allowed_start", "offers",
]  # fmt: skip
LIKELY_KEYS = [
    "upfront", "project", "outlay", "net_benefit", "without_growth", "loan_npv", "parts", "npv",
    "npv_vs_baseline", "cost_npv", "cost_per_hour", "cost_per_mile", "cost_per_member_month",
    "equivalent_annual_cost", "end_value", "payback_months",
    "first_payback_months", "discounted_payback_months", "first_discounted_payback_months",
    "irr", "mirr", "savings_to_investment", "adjusted_irr",
]  # fmt: skip

NUMBER = re.compile(r"-?[\d.]+(?:E[-+]?\d+)?$")
MONEY = {
    "upfront": "Up front",
    "project": "Project",
    "outlay": "Outlay",
    "npv": "Net present value of the cash",
    "end_value": "Value at the end",
    "cost_npv": "Present value of all costs",
}


def test_figures_json_has_the_keys_of_the_method(club: View) -> None:
    made = json.loads(figures_json(club.figures))
    top = [
        "schema",
        "scenario",
        "as_of",
        "currency",
        "baseline",
        "years",
        "options",
        "squawks",
        "project",
    ]
    assert list(made) == top
    assert made["schema"] == "panelworth-figures/2"
    assert made["scenario"] == "quillmeadow-club"
    for option in made["options"].values():
        assert sorted(option) == sorted(OPTION_KEYS)
        assert sorted(option["likely"]) == sorted(LIKELY_KEYS)


def test_money_is_not_rounded_in_figures_json(club: View) -> None:
    made = json.loads(figures_json(club.figures))
    assert made["options"]["full"]["likely"]["npv"] == club.option("full").likely.npv


def test_the_baseline_has_no_figures_against_itself(club: View) -> None:
    keep = json.loads(figures_json(club.figures))["options"]["keep"]
    assert keep["likely"]["npv_vs_baseline"] == 0
    assert keep["likely"]["irr"] == []
    assert keep["likely"]["payback_months"] is None
    assert set(keep["break_even"].values()) == {None}
    assert keep["break_even_why"] == keep["break_even_side"] == {}
    assert keep["swings"] == []


def test_an_owner_has_no_club_figures(owner: View) -> None:
    for option in json.loads(figures_json(owner.figures))["options"].values():
        assert option["likely"]["cost_per_member_month"] is None
        assert option["to_be_whole"]["dues_per_member_month"] is None
        assert option["bills"] == []


def test_the_csv_of_figures_agrees_with_the_json(club: View) -> None:
    rows = list(csv.DictReader(io.StringIO(figures_csv(club))))
    value = next(
        row["value"] for row in rows if row["option"] == "full" and row["figure"] == "likely.npv"
    )
    assert float(value) == club.option("full").likely.npv


def test_page_csv_and_workbook_show_the_money_of_the_json(club: View, owner: View) -> None:
    for view in (club, owner):
        made = json.loads(figures_json(view.figures))["options"]
        told = {
            (row["option"], row["figure"]): row["value"]
            for row in csv.DictReader(io.StringIO(figures_csv(view)))
        }
        page = {row[0]: row[1:] for row in likely_rows(view)}
        sums = {float(value) for _, value in formulas(workbook_of(view)) if NUMBER.match(value)}
        for key, label in MONEY.items():
            for place, option_id in enumerate(view.tags):
                value = made[option_id]["likely"][key]
                assert float(told[option_id, f"likely.{key}"]) == value
                assert page[label][place] == view.formats.money(value)
                near = min(sums, key=lambda each: abs(each - value))
                assert near == pytest.approx(value, rel=1e-15), (option_id, key)


def test_the_csv_of_flows_adds_up_to_the_net(club: View) -> None:
    for row in csv.DictReader(io.StringIO(flows_csv(club))):
        income = sum(float(row[key]) for key in ("charges", "dues", "fees", "other"))
        assert abs(income - float(row["cost"]) - float(row["net"])) < 1e-6


@pytest.mark.parametrize(
    "text",
    [
        *("=1+1", "@x", "+1", "-x", " =1+1", "\t=1", "\r=1", "\n=1", "\ttab", "\rreturn", "\nline"),
        *("＝1+1", "＠x", "＋1", "－x", "\N{NO-BREAK SPACE}=1", "=cmd|' /C calc'!A0"),
    ],
)
def test_no_cell_of_a_users_text_can_start_a_formula(text: str) -> None:
    """OWASP, "CSV Injection": = + - @, tab, line ends, and the full-width forms of the signs."""
    [heading, row] = csv.reader(io.StringIO(csv_text(pd.DataFrame({"a": [text]})), newline=""))
    assert (heading, row) == (["a"], [f"'{text}"])


def test_plain_text_and_numbers_stay_as_they_are() -> None:
    written = csv_text(pd.DataFrame({"a": ["plain", -3.5, "a - b = c", ""]}, dtype=object))
    assert written == 'a\r\nplain\r\n-3.5\r\na - b = c\r\n""\r\n'


def test_the_glossary_names_the_tables_as_the_files_write_them(club: View) -> None:
    content = method_page(club).content["glossary"]
    headers = {
        entry["file"]: {one["heading"]: one["headers"] for one in entry["sections"]}
        for entry in content
    }
    of_scenario, of_option = headers["scenario.toml"], headers["options/NAME.toml"]
    assert of_scenario["The question"] == []
    assert of_scenario["The decision"] == ["[decision]"]
    assert of_scenario["Insurance"] == ["[aircraft.insurance]"]
    assert of_scenario["Member profile"] == ["[[club.profiles]]"]
    assert of_option["What may turn up"] == ["[[surprises]]"]
    assert of_option["Fixed cost"] == ["[[after.added_fixed]]", "[[after.fixed]]"]
    for header in (one for file in headers.values() for part in file.values() for one in part):
        assert tomllib.loads(f"{header}\n")
