"""Every page of the desk: its address, and the functions that show it and take its form.

A new page is a module with these functions, and an entry here. The order counts: the first entry
whose pattern fits answers.
"""

from collections.abc import Callable
from dataclasses import dataclass

from panelworth.publishing.desk.desk import ROOT, Answer, Ask, Desk
from panelworth.publishing.desk.first_run_page import BEGIN, show_first_run, take_first_run
from panelworth.publishing.desk.form_page import show_form, take_form
from panelworth.publishing.desk.frame import LEDGER, UNDO
from panelworth.publishing.desk.ledger_page import show_ledger, take_ledger
from panelworth.publishing.desk.new_option_page import NEW_OPTION, show_new_option, take_new_option
from panelworth.publishing.desk.overview_page import show_scenario, show_scenarios, take_undo

Respond = Callable[[Desk, Ask], Answer]


@dataclass(frozen=True, kw_only=True)
class Page:
    """One page. `rest` is what follows the scenario in its address, where the pattern fixes it."""

    pattern: str
    get: Respond | None = None
    post: Respond | None = None
    rest: str = ""

    @property
    def methods(self) -> list[str]:
        """The methods of HTTP that it answers."""
        return [*(["GET"] if self.get else []), *(["POST"] if self.post else [])]


def _fixed(rest: str, *, get: Respond | None = None, post: Respond | None = None) -> Page:
    return Page(pattern=f"{ROOT}{{scenario}}/{rest}", get=get, post=post, rest=rest)


PAGES = (
    Page(pattern=ROOT, get=show_scenarios),
    _fixed("", get=show_scenario),
    _fixed(UNDO, post=take_undo),
    _fixed(BEGIN, get=show_first_run, post=take_first_run),
    _fixed(LEDGER, get=show_ledger, post=take_ledger),
    _fixed(NEW_OPTION, get=show_new_option, post=take_new_option),
    Page(pattern=f"{ROOT}{{scenario}}/{{rest:path}}", get=show_form, post=take_form),
)
