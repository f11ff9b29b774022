"""What a published site keeps may be damaged: that is named, and the next build goes without it."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from panelworth.__main__ import main
from panelworth.publishing.catalogues import catalogue_problems, language_of
from small_cases import case_in, refit

KEPT_FIELDS = ("edition.json", "edition-before.json")
DAMAGE = {
    "empty": b"",
    "brackets": b"[" * 100_000,
    "no text": b"\xff\xfe\x00",
    "a number": b"1",
    "a number without end": b"1" * 5000,
    "another version": b'{"schema": "panelworth-edition/99", "files": []}',
    "wrong types": b'{"schema": {}, "inputs": 3, "figures": [], "files": {"a": []}}',
}


def build(folder: Path, out: Path) -> Result:
    """Build a small scenario as from a shell."""
    return CliRunner().invoke(main, ["build", str(folder), "--out", str(out), "--trials", "100"])


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Publish a scenario twice, so that it has an edition before the last."""
    place = tmp_path_factory.mktemp("damage")
    for cost in (5, 6):
        case_in(place / "small", {"refit": refit(f"cost = {cost}")})
        assert build(place / "small", place / "site").exit_code == 0
    return place / "small", place / "site"


def said_of(told: Result, out: Path) -> list[str]:
    """Return what was said of the site; the scenario has warnings of its own."""
    return [line for line in told.stderr.splitlines() if line.startswith(f"{out}/")]


def whole(told: Result, out: Path) -> None:
    """Check that a build published all, and warned without a failure."""
    assert told.exit_code == 0, told.output
    assert "Traceback" not in told.output
    assert "1 published" in told.stdout
    assert json.loads((out / "edition.json").read_bytes())


@pytest.mark.parametrize("what", DAMAGE)
def test_damaged_files_are_named_and_the_build_goes_on(site: tuple[Path, Path], what: str) -> None:
    folder, out = site
    for name in KEPT_FIELDS:
        (out / name).write_bytes(DAMAGE[what])
    told = build(folder, out)
    whole(told, out)
    # The edition before the last is looked at only beside a last one.
    [line] = said_of(told, out)
    assert line.startswith(f"{out}/edition.json: warning: ")


def test_a_damaged_edition_before_the_last_is_named(site: tuple[Path, Path]) -> None:
    folder, out = site
    build(folder, out)
    (out / "edition-before.json").write_bytes(DAMAGE["brackets"])
    told = build(folder, out)
    whole(told, out)
    [line] = said_of(told, out)
    assert line.startswith(f"{out}/edition-before.json: warning: ")


def spoilt(edition: Any, path: tuple[str, ...], value: object) -> Any:  # noqa: ANN401 (JSON)
    """Put another value into an edition."""
    where = edition
    for step in path[:-1]:
        where = where[step]
    where[path[-1]] = value
    return edition


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("figures", "options", "refit", "likely", "upfront"), "much"),
        (("figures", "options", "refit", "likely", "net_benefit"), None),
        (("figures", "options", "refit", "likely"), []),
        (("figures", "options", "refit", "funded"), 7),
        (("figures", "options", "refit", "budget_p80"), float("nan")),
        (("figures", "options"), {}),
        (("inputs", "scenario", "baseline"), "none"),
        (("inputs", "scenario", "years"), 10**400),
        (("inputs", "scenario", "as_of"), "2026-13-01"),
        (("inputs", "scenario", "rates", "discount"), "5%"),
        (("inputs", "options", "refit", "jobs"), ["no such job"]),
        (("inputs", "ledger"), [{"line": 2, "date": "2026-01-01", "option": "x", "item": "y"}]),
        (("inputs", "options"), {}),
    ],
)
def test_an_edition_with_a_wrong_value_is_named_with_its_key(
    site: tuple[Path, Path], path: tuple[str, ...], value: object
) -> None:
    folder, out = site
    build(folder, out)
    edition = json.loads((out / "edition.json").read_bytes())
    (out / "edition.json").write_text(json.dumps(spoilt(edition, path, value)))
    told = build(folder, out)
    whole(told, out)
    [line] = said_of(told, out)
    assert line.startswith(f"{out}/edition.json: warning: expected an edition ")


HEADER = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset={}\\n"\n"Plural-Forms: {}\\n"\n\n'
PLURALS = "nplurals=2; plural=(n != 1);"


@pytest.mark.parametrize(
    "content",
    [
        HEADER.format("klingon", PLURALS),
        HEADER.format("rot13", PLURALS),
        HEADER.format("utf-8", "nplurals=2; plural=(n !="),
        HEADER.format("utf-8", "nplurals=2; plural=1/n;"),
        HEADER.format("utf-8", "nplurals=x; plural=n;"),
        HEADER.format("utf-8", f"nplurals=2; plural={'(' * 5000}n{')' * 5000};"),
        HEADER.format("utf-8", PLURALS).encode("utf-16"),
        bytes(range(256)),
        'msgid "a"\nmsgid_plural "b"\nmsgstr[x] "c"\n',
        'msgid "a',
    ],
)
def test_a_broken_catalogue_is_warned_of_and_texts_stay_english(
    tmp_path: Path, content: str | bytes
) -> None:
    file = tmp_path / "texts" / "de.po"
    file.parent.mkdir()
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    [problem] = catalogue_problems(file, "de_DE")
    assert (problem.severity, problem.file) == ("warning", str(file))
    language = language_of("de_DE", tmp_path)
    assert language.locale == "de_DE"
    assert language.texts.gettext("Prices") == "Prices"
