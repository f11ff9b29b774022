"""Which failures leave only a battery, and what goes when it is empty. Worked by hand."""

import pytest

from airframe_cases import case_of, unit
from panelworth.engine.airplane.flight_rules import with_generators
from panelworth.engine.airplane.power_losses import power_losses, power_losses_of
from panelworth.model.equipment import Equipment, Unit

SOURCE = ["electrical source"]
BATTERY = unit("Battery", provides=SOURCE)
RADIO = unit("Radio", provides=["communication"], needs=SOURCE)
NAMED = unit("Left ALTERNATOR", provides=SOURCE)
TOLD = unit("Wind turbine", provides=[*SOURCE, "generator"])
BELT = [unit("Belt"), unit("Alternator", provides=SOURCE, needs=["Belt"])]
OTHER = unit("Other source", provides=SOURCE)


@pytest.mark.parametrize(
    ("units", "expected"),
    [
        ([NAMED, BATTERY, RADIO], [("Left ALTERNATOR", ("Battery",), True)]),
        ([TOLD, BATTERY, RADIO], [("Wind turbine", ("Battery",), True)]),
        ([TOLD, BATTERY, OTHER], [("Wind turbine", ("Battery", "Other source"), True)]),
        ([TOLD, NAMED, BATTERY], []),  # the other generator carries on
        ([NAMED, RADIO], []),  # nothing is left
        ([BATTERY, RADIO], []),
        ([RADIO], []),
        (
            [*BELT, BATTERY],
            [("Belt", ("Battery",), True), ("Alternator", ("Battery",), True)],
        ),
        (  # not told apart: either may be the battery
            [OTHER, BATTERY],
            [("Other source", ("Battery",), False), ("Battery", ("Other source",), False)],
        ),
        (  # a generator that cannot work is none
            [unit("Alternator", provides=SOURCE, needs=["nothing"]), OTHER, BATTERY],
            [("Other source", ("Battery",), False), ("Battery", ("Other source",), False)],
        ),
    ],
)
def test_a_power_loss_is_a_failure_that_leaves_sources_but_no_generator(
    units: list[Unit], expected: list[tuple[str, tuple[str, ...], bool]]
) -> None:
    found = power_losses(with_generators(units), set())
    assert [(each.empty.unit, each.left, each.certain) for each in found] == expected


def test_when_the_battery_is_empty_what_hangs_on_it_is_lost_and_what_has_its_own_is_kept() -> None:
    units = [
        NAMED,
        BATTERY,
        RADIO,
        unit("Own battery", provides=["standby power"]),
        unit("Horizon", provides=["attitude"], needs=["electrical source | standby power"]),
        unit("Lamp", provides=["panel lighting"], needs=["communication"]),
    ]
    [loss] = power_losses(with_generators(units), {"generator"})
    assert loss.empty.lost == (
        *("electrical source", "generator", "communication", "panel lighting"),
    )
    assert loss.empty.kept == ("standby power", "attitude")
    assert loss.empty.disabled == ("Radio", "Lamp")
    missing = {state.rule: state.missing for state in loss.empty.rules}
    assert {"communication", "electrical source", "generator"} <= set(missing["IFR"])


def test_what_rules_ask_for_follows_the_airplane_before_the_option() -> None:
    """A landing light counts where the airplane has one today; a replacement's own list counts."""
    light = unit("Lamp", provides=["landing light"])
    own = [each.model_dump() for each in (NAMED, BATTERY)]
    case = case_of(
        equipment={"units": [*own, light.model_dump()]},
        options={
            "refit": {"title": "R", "kind": "retrofit", "removes": ["Lamp"]},
            "buy": {"title": "B", "kind": "replace"},
        },
        replacements={"buy": Equipment.model_validate({"units": own})},
    )
    asked = {}
    for option in ("refit", "buy"):
        [loss] = power_losses_of(case, option)
        asked[option] = {name for state in loss.empty.rules for name in state.required}
    assert "landing light" in asked["refit"]
    assert "landing light" not in asked["buy"]


def test_an_option_that_takes_the_generator_out_has_no_such_loss() -> None:
    equipment = {"units": [each.model_dump() for each in (NAMED, BATTERY, RADIO)]}
    refit = {"title": "R", "kind": "retrofit", "removes": ["Left ALTERNATOR"]}
    case = case_of(equipment=equipment, options={"refit": refit})
    assert len(power_losses_of(case, "keep")) == 1
    assert power_losses_of(case, "refit") == ()
    assert power_losses_of(case_of(), "keep") is None
