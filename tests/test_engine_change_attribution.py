"""What moved between two editions, and how much of each figure each move caused.

Expected effects are worked out by head: two years, 100 hours a year, no rates but a test's own.
"""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from pytest import approx  # noqa: PT013 (a sentence reads better)

from panelworth import evaluate
from panelworth.engine.editions.change_attribution import (
    attribute_changes,
    compared_with,
    is_consistent,
    steps_of,
)
from panelworth.engine.editions.input_changes import changes_between, with_changes
from panelworth.engine.results.editions import HEADLINE_KEYS, ChangeAttribution
from panelworth.model.case import Case, WrittenCase
from panelworth.model.edition import Edition, Editions, with_trials
from panelworth.publishing.figures_object import figures_object
from small_cases import CLUB, case_in, refit

DATED = "[schedule]\norder = {order}\nstart = {start}\nweeks_down = 4\n"


def edition(case: Case, trials: int | None = None) -> Edition:
    """Publish a case, as far as an edition knows."""
    figures = evaluate(case, trials=trials)
    published = json.loads(json.dumps(figures_object(figures), default=vars))
    kept = with_trials(case.written, figures.uncertainty.trials)
    return Edition(case=kept, published=published, content=b"")


def attributed(then: Case, now: Case) -> ChangeAttribution:
    """Replay what moved from one case to another."""
    return attribute_changes(edition(then), now, evaluate(now))


def effects(found: ChangeAttribution, option: str, figure: str) -> dict[str, float | None]:
    """Return each step's effect on one figure, by the labels of its moves."""
    return {
        " + ".join(move.label for move in step.changes): step.effects[option][figure]
        for step in found.steps
    }


@pytest.fixture
def small(tmp_path: Path) -> Callable[..., Case]:
    """Make small cases in folders of the same name, so that only what is said differs."""
    count = iter(range(100))

    def made(**said: object) -> Case:
        options = said.pop("options", {"refit": refit("cost = 5000")})
        return replace(case_in(tmp_path / str(next(count)), options, **said), name="small")

    return made


def test_what_an_item_costs_more_is_paid_up_front_and_lost_in_today_s_money(
    small: Callable[..., Case],
) -> None:
    then = small(options={"refit": refit("cost = 5000")})
    now = small(options={"refit": refit("cost = 6200")})
    found = attributed(then, now)
    assert [(m.path, m.label, m.unit) for s in found.steps for m in s.changes] == [
        ("options.refit.items.Item 0.cost", "Item 0: cost", "money")
    ]
    assert effects(found, "refit", "upfront") == {"Item 0: cost": approx(1200)}
    assert effects(found, "refit", "net_benefit") == {"Item 0: cost": approx(-1200)}
    assert effects(found, "refit", "budget_p80") == {"Item 0: cost": approx(1200)}
    assert effects(found, "refit", "cost_per_hour") == {"Item 0: cost": approx(1200 / 200)}
    assert effects(found, "keep", "upfront") == {"Item 0: cost": approx(0)}


def test_what_two_moves_do_together_is_the_interaction(small: Callable[..., Case]) -> None:
    """Fuel an hour: 10·5 = 50 to 12·6 = 72; 10 by the burn, 10 by the price, 2 by both."""
    then = small(aircraft="fuel_per_hour = 10\nfuel_price = 5")
    now = small(aircraft="fuel_per_hour = 12\nfuel_price = 6")
    found = attributed(then, now)
    told = effects(found, "keep", "cost_per_hour")
    assert told == {"Fuel burn": approx(10), "Fuel price": approx(10)}
    assert found.interaction["keep"]["cost_per_hour"] == approx(2)


def test_the_parts_add_up_to_the_whole(small: Callable[..., Case]) -> None:
    loan = '[funding]\nsolve = "dues"'
    then = small(
        options={"refit": refit("cost = [4000, 15000, 20000]", rest=loan)},
        aircraft="fuel_per_hour = 10\nfuel_price = 5\nhourly_rate = 60",
        rest=CLUB,
        rates="[rates]\ndiscount = 0.05\ninflation = 0.03",
    )
    now = small(
        options={"refit": refit("cost = [6000, 17000, 20000]", "cost = 700", rest=loan)},
        aircraft="fuel_per_hour = 11\nfuel_price = 6\nhourly_rate = 64",
        rest=CLUB.replace("20000", "19000"),
        rates="[rates]\ndiscount = 0.04\ninflation = 0.03",
        hours="[80, 90, 100]",
    )
    found, end = attributed(then, now), evaluate(now)
    assert len(found.steps) == 8
    for option in ("keep", "refit"):
        for key in HEADLINE_KEYS:
            if found.then[option][key] is None:
                continue
            parts = [step.effects[option][key] for step in found.steps]
            whole = found.then[option][key] + sum(parts) + found.interaction[option][key]
            assert whole == approx(found.now[option][key]), (option, key)
    refitted = end.options["refit"]
    assert found.now["refit"] == {
        "upfront": refitted.likely.upfront,
        "net_benefit": refitted.likely.net_benefit,
        "cost_per_hour": refitted.likely.cost_per_hour,
        "solved_raise": refitted.funded.dues_increase,
        "lowest_balance": refitted.funded.lowest_balance,
        "budget_p80": end.uncertainty.options["refit"].budget_p80,
    }


def test_nothing_that_moved_changes_nothing(small: Callable[..., Case]) -> None:
    assert changes_between(small().written, small().written) == ()


def test_words_sources_and_the_order_of_entries_move_nothing(small: Callable[..., Case]) -> None:
    cost = '[[aircraft.fixed]]\nname = "{}"\nper_year = 5\n'
    costs = cost + cost
    then = small(rest=costs.format("A", "B"), aircraft="value = 5")
    now = small(rest=costs.format("B", "A"), aircraft='value = { likely = 5, source = "a letter" }')
    titled = now.scenario.model_copy(update={"title": "Another title", "question": "Why?"})
    now = replace(now, scenario=titled)
    assert changes_between(then.written, now.written) == ()


def test_a_range_that_only_changes_its_shape_has_moved(small: Callable[..., Case]) -> None:
    shaped = 'value = {{ low = 1, likely = 2, high = 3, shape = "{}" }}'
    moves = changes_between(
        small(aircraft=shaped.format("pert")).written,
        small(aircraft=shaped.format("uniform")).written,
    )
    assert [(move.label, move.before.shape, move.after.shape) for move in moves] == [
        ("Value today", "pert", "uniform")
    ]


def test_an_option_that_comes_or_goes_moves_as_a_whole(small: Callable[..., Case]) -> None:
    then = small(options={"old": refit("cost = 1")})
    now = small(options={"new": refit("cost = 2")})
    found = attributed(then, now)
    told = [(m.label, m.before is None, m.after is None) for s in found.steps for m in s.changes]
    assert told == [("Option “Refit”", True, False), ("Option “Refit”", False, True)]
    assert list(found.interaction) == ["keep"]
    assert all(step.effects["keep"]["upfront"] == 0 for step in found.steps)
    assert found.now["new"]["upfront"] == 2


def test_an_option_that_changes_its_kind_moves_as_a_whole(small: Callable[..., Case]) -> None:
    bought = 'title = "Refit"\nkind = "replace"\n[sell]\n[buy]\nprice = 9000\n'
    bought += "[after]\nrecurring = []"
    moves = changes_between(small().written, small(options={"refit": bought}).written)
    assert [(move.label, move.before.kind, move.after.kind) for move in moves] == [
        ("Option “Refit”", "retrofit", "replace")
    ]


def test_a_new_baseline_that_is_a_new_option_comes_with_it(small: Callable[..., Case]) -> None:
    then = small()
    now = small(options={"refit": refit("cost = 5000"), "wait": refit("cost = 300")})
    now = replace(now, scenario=now.scenario.model_copy(update={"baseline": "wait"}))
    found = attributed(then, now)
    assert effects(found, "refit", "net_benefit") == {"Baseline + Option “Refit”": approx(300)}


def test_a_new_item_comes_with_its_rows_of_the_ledger(tmp_path: Path) -> None:
    def made(name: str, items: tuple[str, ...], rows: str) -> WrittenCase:
        heading = "date,option,item,kind,amount\n"
        (tmp_path / name).mkdir()
        (tmp_path / name / "ledger.csv").write_text(heading + rows)
        return case_in(tmp_path / name, {"refit": refit(*items)}).written

    then = made("a", ("cost = 5000",), "2025-12-01,refit,Item 0,quote,5100\n")
    rows = "2025-12-01,refit,Item 0,quote,5100\n2025-12-02,refit,Item 0,quote,5200\n"
    rows += "2025-12-03,refit,Item 1,quote,800\n"
    now = made("b", ("cost = 5000", "cost = 900"), rows)
    moves = changes_between(then, now)
    assert [(move.label, move.places) for move in moves] == [
        (
            "Project item “Item 1”",
            (("options", "refit", "items", "Item 1"), ("ledger", "refit", "Item 1")),
        ),
        ("Ledger: Item 0", (("ledger", "refit", "Item 0"),)),
    ]
    assert [(row.amount, row.kind) for row in moves[1].after] == [(5200, "quote")]
    assert moves[1].before == ()
    assert changes_between(with_changes(then, now, [p for m in moves for p in m.places]), now) == ()


def test_a_job_that_is_taken_out_goes_with_the_lists_that_name_it(
    small: Callable[..., Case],
) -> None:
    jobs = '[[jobs]]\nname = "Hoses"\nnow = 500\nlater = 0\n'
    then = small(options={"refit": refit("cost = 1", top='jobs = ["Hoses"]')}, rest=jobs)
    now = small(options={"refit": refit("cost = 2")})
    found = attributed(then, now)
    assert effects(found, "refit", "upfront") == {
        "Item 0: cost": approx(1),
        "Job while it is open “Hoses” + Jobs included": approx(-500),
    }


def test_days_that_make_sense_only_together_are_attributed_together(
    small: Callable[..., Case],
) -> None:
    """as_of passes the day of the order, so it cannot move before the order does."""
    early = DATED.format(order="2026-02-01", start="2026-03-01")
    late = DATED.format(order="2026-06-01", start="2026-07-01")
    then = small(options={"refit": refit("cost = 1", rest=early)})
    now = small(options={"refit": refit("cost = 3", rest=late)})
    moved = now.scenario.model_copy(update={"as_of": now.scenario.as_of.replace(month=5)})
    before, after = then.written, replace(now.written, scenario=moved)
    steps = [[move.label for move in moves] for moves in steps_of(before, after)]
    assert steps == [["Item 0: cost"], ["As of", "Schedule"]]
    assert not is_consistent(with_changes(before, after, [("scenario", "as_of")]))
    assert is_consistent(with_changes(before, after, [("options", "refit", "schedule")]))


def test_days_that_move_alone_are_a_step_of_their_own(small: Callable[..., Case]) -> None:
    early = DATED.format(order="2026-02-01", start="2026-03-01")
    late = DATED.format(order="2026-02-01", start="2026-04-01")
    then, now = (small(options={"refit": refit("cost = 1", rest=days)}) for days in (early, late))
    assert [move.label for move in changes_between(then.written, now.written)] == ["Schedule"]


def test_what_the_program_works_out_differently_is_told_apart(small: Callable[..., Case]) -> None:
    then, now = edition(small()), small(aircraft="value = 1000")
    then.published["options"]["refit"]["likely"]["upfront"] -= 70.0
    found = attribute_changes(then, now, evaluate(now))
    assert found.program["refit"]["upfront"] == approx(70)
    assert found.then["refit"]["upfront"] == approx(4930)
    assert found.interaction["refit"]["upfront"] == approx(0)


def test_the_number_of_worlds_really_drawn_is_an_input(small: Callable[..., Case]) -> None:
    case = small(options={"refit": refit("cost = [4000, 5000, 9000]")})
    then = edition(case, trials=500)
    found = attribute_changes(then, case, evaluate(case))
    assert effects(found, "refit", "upfront") == {"Trials": approx(0)}
    assert found.program["refit"]["budget_p80"] == approx(0)
    assert found.steps[0].changes[0].before == 500
    assert found.steps[0].changes[0].after == 1000


def test_a_raise_that_only_one_edition_finds_has_no_parts(small: Callable[..., Case]) -> None:
    solve = '[funding]\nsolve = "hourly_rate"'
    then = small(options={"refit": refit("cost = 15000", rest=solve)}, rest=CLUB)
    now = small(options={"refit": refit("cost = 15000", rest=solve)}, rest=CLUB, hours="0")
    found = attributed(then, now)
    assert found.now["refit"]["solved_raise"] is None
    assert effects(found, "refit", "solved_raise") == {"Hours wanted": None}
    assert found.interaction["refit"]["solved_raise"] is None


def test_the_edition_compared_with_is_the_last_that_differs(small: Callable[..., Case]) -> None:
    first, second = small(), small(aircraft="value = 1000")
    a, b = edition(first), edition(second)
    figures = evaluate(second)
    assert compared_with(Editions(last=a), second, figures) is a
    assert compared_with(Editions(last=b, before=a), second, figures) is a
    assert compared_with(Editions(last=b), second, figures) is None
    assert compared_with(Editions(), second, figures) is None
    assert compared_with(Editions(last=b, before=a), first, evaluate(first)) is b


def test_a_figure_that_moved_by_a_new_program_is_a_difference(small: Callable[..., Case]) -> None:
    case = small()
    last = edition(case)
    last.published["options"]["refit"]["budget_p80"] *= 1 + 1e-12
    assert compared_with(Editions(last=last), case, evaluate(case)) is None
    last.published["options"]["refit"]["budget_p80"] += 1.0
    assert compared_with(Editions(last=last), case, evaluate(case)) is last


def test_an_edition_in_other_money_is_not_compared(small: Callable[..., Case]) -> None:
    case = small()
    euros = replace(case, scenario=case.scenario.model_copy(update={"currency": "EUR"}))
    assert compared_with(Editions(last=edition(euros)), case, evaluate(case)) is None


def test_rows_for_several_options_and_items_are_told_whatever_they_name(tmp_path: Path) -> None:
    """A payment moves what is still to pay and the reserve, and is named with what it pays."""

    def made(name: str, rows: str) -> Case:
        (tmp_path / name).mkdir()
        (tmp_path / name / "ledger.csv").write_text("date,option,item,kind,amount\n" + rows)
        items = ("cost = 5000", "cost = 900")
        options = {"refit": refit(*items), "other": refit(*items)}
        return replace(case_in(tmp_path / name, options, rest=CLUB), name="small")

    rows = (
        "2025-12-01,refit + other,Item 0 + Item 1,quote,5400\n"
        "2025-12-02,refit,,payment,700\n"
        "2025-12-03,other,Item 1,payment,100\n"
    )
    found = attributed(made("a", ""), made("b", rows))
    labels = [move.label for step in found.steps for move in step.changes]
    assert labels == ["Ledger: Item 0 + Item 1", "Ledger: all items", "Ledger: Item 1"]
    paid = effects(found, "refit", "lowest_balance")
    assert paid["Ledger: all items"] == approx(700)
    assert paid["Ledger: Item 1"] == approx(0)
    assert effects(found, "other", "lowest_balance")["Ledger: Item 1"] == approx(100)
