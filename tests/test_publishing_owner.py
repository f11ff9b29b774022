"""A single owner reads and writes nothing of a club: no members, no vote, no dues."""

import re
import shutil
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from panelworth import publish, read
from panelworth.__main__ import main
from panelworth.publishing.starter_folder import starting_files
from strategies import write_folder

DEMO = Path(__file__).parents[1] / "scenarios" / "brackenholt-owner"
CLUB_WORDS = re.compile(
    r"\b(members?|memberships?|clubs?|dues|votes?|voted|voting|voters?|ballots?|motions?|bylaws?|"
    r"quorum|assessments?|grant(ed)?|joining fees?|treasurer|pledges?)\b",
    re.IGNORECASE,
)
# A file and its key have one name for all.
NAMES = re.compile(r"ballots\.csv|\bballots = ")
# An engineer's word, in a caution on failures.
OTHER_MEANING = re.compile(r"safety assessment")


class _Text(HTMLParser):
    """Gathers what a page shows or reads aloud, without keys and names of files in <code>."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.hidden = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.hidden += tag in ("script", "style", "code")
        shown = ("alt", "title", "aria-label", "content")
        self.texts += [value for name, value in attrs if name in shown and value]

    def handle_endtag(self, tag: str) -> None:
        self.hidden -= tag in ("script", "style", "code")

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.texts.append(data)


def club_words(text: str) -> list[str]:
    """Return each club's word of a text, with the words around it."""
    plain = OTHER_MEANING.sub("", NAMES.sub("", re.sub(r"\s+", " ", text)))
    found = CLUB_WORDS.finditer(plain)
    return [plain[max(0, each.start() - 40) : each.end() + 40] for each in found]


def words_of_pages(site: Path) -> dict[str, list[str]]:
    """Return the club's words of every page and picture of a site that has one."""
    words = {}
    for path in sorted(site.rglob("*")):
        if path.suffix in (".html", ".svg", ".ics"):
            parser = _Text()
            parser.feed(path.read_text("utf-8"))
            if found := club_words(" ".join(parser.texts)):
                words[path.name] = found
    return words


def test_the_words_of_a_club_are_found_where_they_are() -> None:
    assert len(club_words("Members vote on a ballot; no club grants dues.")) == 5
    assert club_words("ballots = 1 in ballots.csv: a safety assessment") == []


def test_the_club_s_own_pages_have_such_words(club_site: Path) -> None:
    found = words_of_pages(club_site)
    assert {"index.html", "method.html", "handout.html", "compare.html"} <= set(found)


def test_no_page_of_the_owner_s_demo_speaks_of_a_club(site: Path) -> None:
    assert words_of_pages(site / DEMO.name) == {}


def test_neither_the_starter_of_an_owner_nor_its_site_speaks_of_a_club(tmp_path: Path) -> None:
    files = starting_files(owner=True)
    for name, content in files.items():
        assert club_words(content.decode()) == [], name
    case, _ = read(write_folder(tmp_path / "ours", files))
    assert case is not None
    assert publish([case], tmp_path / "site", trials=100) == []
    assert words_of_pages(tmp_path / "site") == {}


def test_a_starter_speaks_of_one_owner_as_i_and_of_a_club_as_we() -> None:
    for owner, words in ((True, "Shall I keep"), (False, "Shall we keep")):
        assert words in starting_files(owner=owner)["scenario.toml"].decode()


def decided(folder: Path) -> Path:
    """Make the owner demo with a decision and a finished project."""
    shutil.copytree(DEMO, folder)
    scenario, option = folder / "scenario.toml", folder / "options" / "refit.toml"
    decision = (
        '[decision]\nchosen = "refit"\non = 2026-11-10\nbudget = 35000\nstatus = 2027-04-01\n'
    )
    scenario.write_text(scenario.read_text().replace("[rates]", f"{decision}[rates]", 1))
    days = "[schedule]\nordered = 2026-11-24\nstarted = 2027-01-25\nfinished = 2027-03-10\n"
    option.write_text(option.read_text().replace("[schedule]\n", days, 1))
    jobs = ("Renew the old switch and breaker row", "Replace the static lines")
    with (folder / "ledger.csv").open("a") as ledger:  # all is final: there is a report
        for name, sum_ in (("", 33000), *((job, 500) for job in jobs)):
            ledger.write(f"2027-03-12,refit,{name},invoice,{sum_},,,yes,the shop,9,,yes,\n")
    return folder


def test_the_project_of_an_owner_speaks_of_no_vote(tmp_path: Path) -> None:
    case, problems = read(decided(tmp_path / "owner"))
    assert case is not None, problems
    assert publish([case], tmp_path / "site", trials=100) == []
    assert (tmp_path / "site" / "closing.html").is_file()
    assert words_of_pages(tmp_path / "site") == {}
    said = _said("brief", tmp_path / "owner", "--progress", "--trials", "100")
    assert "You decided for Refit" in said
    assert club_words(said) == []


def test_no_command_speaks_of_a_club_to_an_owner(tmp_path: Path) -> None:
    folder, site = tmp_path / "owner", tmp_path / "site"
    shutil.copytree(DEMO, folder)
    few = ("--trials", "100")
    assert _said("build", folder, "--out", site, *few)
    path = folder / "scenario.toml"
    path.write_text(path.read_text().replace("years = 12 ", "years = 11 "))
    for words in (
        ("check", folder),
        ("figures", folder, *few),
        ("brief", folder, *few),
        ("changes", folder, "--site", site),
        ("breakeven", folder, "refit", "aircraft.fuel_price"),
        ("new", tmp_path / "mine", "--owner"),
    ):
        said = _said(*words)
        assert len(said) > 20
        assert club_words(said) == [], words


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("question =", "questions ="),
        ("hours_lost_per_year =", "hours_lost_per_year = 70 #"),
        ("worth_per_hour =", "#"),
    ],
)
def test_no_message_about_an_owner_s_files_speaks_of_a_club(
    tmp_path: Path, old: str, new: str
) -> None:
    folder = tmp_path / "owner"
    shutil.copytree(DEMO, folder)
    path = folder / "scenario.toml"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    said = _said("check", folder)
    assert ": error: " in said or ": warning: " in said
    assert club_words(said) == []


def _said(*words: str | Path) -> str:
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert "Traceback" not in result.output
    return result.output
