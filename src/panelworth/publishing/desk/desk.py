"""The desk's state while `serve` runs, and what a request to it and its answer are."""

import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock
from typing import Any

from panelworth.model.ledger import Entry
from panelworth.plain_files import is_there
from panelworth.problems import Problem
from panelworth.publishing.desk.access import Access
from panelworth.publishing.desk.disc import Read, ScenarioFiles
from panelworth.publishing.desk.places import SCENARIO_FILE
from panelworth.publishing.formats import Formats
from panelworth.publishing.site.layout import Layout

ROOT = "/desk/"


@dataclass(frozen=True, kw_only=True)
class Ask:
    """A request: the scenario and what follows it in the address, and the form that was sent."""

    scenario: str = ""
    rest: str = ""
    query: Mapping[str, str] = field(default_factory=dict)
    form: Mapping[str, str] = field(default_factory=dict)

    @property
    def address(self) -> str:
        """The address that was asked for, which its form is sent to."""
        return f"{ROOT}{self.scenario}/{self.rest}" if self.scenario else ROOT


@dataclass(frozen=True, kw_only=True)
class Answer:
    """A page, or the address to go to after a form was taken."""

    page: str = ""
    status: int = 200
    location: str = ""


@dataclass
class Desk:
    """Everything that pages share.

    `scenarios` returns the scenario folders that are there now. `read` returns the problems of a
    folder, `ledger` the entries of its ledger, none if it has an error. `lock` makes requests that
    write wait for one another.
    """

    scenarios: Callable[[], list[Path]]
    read: Read
    templates: Path
    ledger: Callable[[Path], Sequence[Entry]] = lambda _folder: ()
    access: Access = field(default_factory=Access)
    lock: Lock = field(default_factory=Lock)
    _files: dict[Path, ScenarioFiles] = field(default_factory=dict)

    def folders(self) -> dict[str, ScenarioFiles]:
        """Return the files of each scenario by the name of its folder.

        They are kept, so that changes can be undone as long as the desk is open. A folder that is
        not there yet is one to begin.
        """
        folders = [one for one in self.scenarios() if one.is_dir() or not is_there(one)]
        paths = [folder.resolve() for folder in folders]
        return {path.name: self._files.setdefault(path, ScenarioFiles(path)) for path in paths}

    def problems(self, files: ScenarioFiles) -> list[Problem]:
        """Return the problems of a folder as it is now, errors first."""
        found = files.problems(self.read)
        return sorted(found, key=lambda problem: problem.severity)

    def filled(self, template: str, content: dict[str, Any]) -> str:
        """Fill a template. Values of inputs must stay as they are, so nothing is typeset."""
        return Layout.of(self.templates).environment.get_template(template).render(content)


def data_of(content: bytes | None) -> dict[str, Any] | None:
    """Return the data of a TOML file; None if there is no file or it is not TOML."""
    try:
        return None if content is None else tomllib.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        return None


def formats_in(files: ScenarioFiles) -> Formats:
    """Return how units are written; as in the United States where the file says nothing usable."""
    data = data_of(files.content(SCENARIO_FILE)) or {}
    currency, units = data.get("currency"), data.get("units")
    return Formats(
        currency=currency if isinstance(currency, str) and currency.isalpha() else "USD",
        units="metric" if units == "metric" else "us",
    )
