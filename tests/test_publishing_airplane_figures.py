"""The airplane in figures.json, worked by hand."""

import json
from pathlib import Path

import pytest

from airplane_views import view_in
from panelworth.publishing.figures_object import figures_object
from small_cases import refit

UNITS = """
[airplane]
empty_weight = 1000
empty_arm = 80
max_weight = 1600
alternator = { amps = 60 }
[[units]]
name = "Old radio"
weight = 10
arm = 60
amps = 3
[[units]]
name = "Lights"
amps = 12
"""


def test_airframe_and_downtime_of_figures_json_are_those_worked_out_by_hand(
    tmp_path: Path,
) -> None:
    """Worked by hand.

    Weight: 1,000 lb at 80 in, less 10 lb at 60, plus 4 lb at 75: 994 lb, moment 80,000 - 600 + 300
    = 79,700, CG 79,700/994. Load: 12 + 6 of 60 A. Downtime: 14 of February's 28 days at 10 hours
    a month are 5 hours; (100 - 10·5) an hour is 250.
    """
    option = 'removes = ["Old radio"]\n'
    schedule = "[schedule]\nstart = 2026-02-02\nweeks_down = 2\n"
    unit = '[[installs]]\nname = "New radio"\nweight = 4\narm = 75\namps = 6\n'
    money = "hourly_rate = 100\nfuel_per_hour = 10\nfuel_price = 5"
    view = view_in(
        tmp_path,
        {"refit": refit(top=option, rest=schedule + unit)},
        UNITS,
        hours="120",
        aircraft=money,
        rest="[club]\nmembers = 10\ndues_per_month = 0\n",
    )
    made = json.loads(json.dumps(figures_object(view.figures)))["options"]
    assert made["refit"]["airframe"] == pytest.approx(
        {
            "empty_weight_change": -6.0,
            "empty_cg": 79700 / 994,
            "useful_load_change": 6.0,
            "continuous_load": 18.0,
            "load_share": 0.3,
        }
    )
    downtime = made["refit"]["downtime"]
    days = (downtime.pop("start"), downtime.pop("finish"), downtime.pop("finish_p80"))
    assert days == ("2026-02-02", "2026-02-16", "2026-02-16")
    assert downtime == pytest.approx(
        {"lost_hours": 5.0, "lost_contribution": 250.0, "lost_worth": 250.0}
    )
    assert made["keep"]["airframe"]["empty_cg"] == pytest.approx(80.0)
    assert made["keep"]["airframe"]["load_share"] == pytest.approx(0.25)
    assert made["keep"]["downtime"] is None


def test_without_equipment_or_schedule_both_are_null(tmp_path: Path) -> None:
    view = view_in(tmp_path, {"refit": refit()})
    made = figures_object(view.figures)["options"]["refit"]
    assert made["airframe"] is None
    assert made["downtime"] is None
