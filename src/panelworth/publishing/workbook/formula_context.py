"""The cells that the formulas of one option read: of its inputs, its steps and its figures."""

from dataclasses import dataclass
from functools import cached_property

from panelworth.engine.results.figures import (
    OptionFigures,
    Series,
)
from panelworth.model.case import option_prefix
from panelworth.model.club import (
    Club,
)
from panelworth.model.ledger import LedgerStatus
from panelworth.model.ledger_targets import Target, TargetKind, targets_of
from panelworth.model.option import Option
from panelworth.model.scenario import (
    Aircraft,
    Scenario,
)
from panelworth.publishing.view import View
from panelworth.publishing.workbook.book import Book
from panelworth.publishing.workbook.month_table import MonthRow
from panelworth.publishing.workbook.names import SharedStep, cells_of, with_changes
from panelworth.publishing.workbook.words import Kind


@dataclass(frozen=True, kw_only=True)
class FormulaContext:
    """One option for its formulas; its counterpart in the engine is OptionContext.

    `scenario_cells` and `option_cells` are the scenario and the option with names of cells in the
    place of their inputs (`names.cells_of`); `scenario` and `option` hold the values.
    `baseline` is the context of the baseline, None for the baseline itself.
    """

    book: Book
    option_id: str
    scenario_cells: Scenario
    option_cells: Option
    baseline: "FormulaContext | None"

    @property
    def view(self) -> View:
        """The scenario with its figures."""
        return self.book.view

    @property
    def title(self) -> str:
        """The option's title, as all pages show it."""
        return self.view.tags[self.option_id].title

    @property
    def scenario(self) -> Scenario:
        """The scenario with its values."""
        return self.view.case.scenario

    @property
    def option(self) -> Option:
        """The option with its values."""
        return self.view.case.options[self.option_id]

    @property
    def series(self) -> Series:
        """The option's months at likely values, from the engine."""
        return self.view.series(self.option_id)

    @property
    def figures(self) -> OptionFigures:
        """The option's figures, from the engine."""
        return self.view.option(self.option_id)

    @property
    def aircraft(self) -> Aircraft:
        """The cells of [aircraft]."""
        return self.scenario_cells.aircraft

    @cached_property
    def aircraft_after(self) -> Aircraft:
        """The cells of [aircraft] after the finish: those of [after] where it has a new value."""
        return with_changes(self.aircraft, self.option_cells.after)

    def aircraft_in(self, row: MonthRow) -> Aircraft:
        """Return [aircraft] in a month, with a formula in the place of each input.

        An input has today's value through the month of the finish, then the value of [after]. Lists
        are today's, since each of their entries has its own formula.
        """
        if row.month not in self._aircraft_by_month:
            after = row("after")

            def combined(old: object, new: object) -> object:
                return f"IF({after},{new},{old})" if isinstance(new, str) else old

            in_force = with_changes(self.aircraft, self.option_cells.after, combined)
            self._aircraft_by_month[row.month] = in_force
        return self._aircraft_by_month[row.month]

    @cached_property
    def _aircraft_by_month(self) -> dict[int, Aircraft]:
        """The cache of `aircraft_in`: ten columns need the record of each month."""
        return {}

    @property
    def club(self) -> Club:
        """The cells of [club]; only formulas of a club read them."""
        if self.scenario_cells.club is None:
            raise ValueError("a single owner has no club")
        return self.scenario_cells.club

    @property
    def compared(self) -> "FormulaContext":
        """The baseline's context; the baseline itself has none to be compared with."""
        if self.baseline is None:
            raise ValueError("the baseline is not compared with itself")
        return self.baseline

    def path(self, key: str) -> str:
        """Return the path after which the cell of a step or figure of the option is named."""
        return f"{option_prefix(self.option_id)}{key}"

    def cell(self, key: str) -> str:
        """Return the name of the cell of a step or figure of the option."""
        return self.book.names[self.path(key)]

    def has_cell(self, key: str) -> bool:
        """Say whether the option has a step or figure."""
        return self.path(key) in self.book.names

    def shared(self, step: SharedStep) -> str:
        """Return the name of the cell of a step that all options share."""
        return self.book.names[step]

    def due_at(self, kind: Kind, when: str) -> str | None:
        """Return the cell of the sum that is due at a moment; None if there is no such sum."""
        key = f"{kind}_{when}"
        return self.cell(key) if self.has_cell(key) else None

    @cached_property
    def ledger_targets(self) -> dict[tuple[TargetKind, str], Target]:
        """The targets that a row of the ledger can have, by kind and name."""
        targets = targets_of(self.option, option_prefix(self.option_id))
        return {(target.kind, target.name): target for target, _ in targets}

    def ledger_status(self, target: Target) -> LedgerStatus | None:
        """Return the ledger's sums of an item, a job, a credit, the purchase or the sale."""
        return self.view.case.ledger_statuses.get(target.path)


def contexts_of(book: Book) -> dict[str, FormulaContext]:
    """Return every option's context, the baseline's first; the inputs must have their cells."""
    case, names = book.view.case, book.names
    scenario_cells = cells_of(case.scenario, "", names)
    contexts: dict[str, FormulaContext] = {}
    for option_id in book.view.tags:
        contexts[option_id] = FormulaContext(
            book=book,
            option_id=option_id,
            scenario_cells=scenario_cells,
            option_cells=cells_of(case.options[option_id], option_prefix(option_id), names),
            baseline=contexts.get(book.view.figures.baseline),
        )
    return contexts


def month_begins(context: FormulaContext, month: str) -> str:
    """Return the first day of a month, counted from that of as_of."""
    as_of = context.scenario_cells.as_of
    return f"DATE(YEAR({as_of}),MONTH({as_of})+{month},1)"


def months_to(context: FormulaContext, day: object) -> str:
    """Return the calendar months from that of as_of to that of a day."""
    as_of = context.scenario_cells.as_of
    return f"(YEAR({day})-YEAR({as_of}))*12+MONTH({day})-MONTH({as_of})"
