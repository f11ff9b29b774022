"""The bundled fonts: small, licensed, with the letters of Europe's Latin languages, and used."""

import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from babel import Locale
from babel.numbers import get_currency_symbol
from fontTools.ttLib import TTFont
from pypdf import PdfReader

from panelworth import templates_folder
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts.rendering import rendered
from panelworth.publishing.fonts import FACES, FAMILY, HEADS
from panelworth.publishing.site.files import assets
from panelworth.publishing.site.site_archive import archived
from texts import gathered

FONTS = templates_folder() / "assets" / "fonts"
WHOLE = templates_folder() / "fonts"
ROOT = Path(__file__).parents[1]
MOST = 62 * 1024
PARTS = [(name, "") for name in FACES] + [(name, "-more") for name in FACES]
# Letters beyond a to z that a language needs: CLDR's main exemplar characters, from memory.
LETTERS = {
    "cs": "áčďéěíňóřšťúůýž", "da": "æøåé", "de": "äöüß", "es": "áéíñóúü¿¡", "et": "äõöüšž",
    "fi": "åäöšž", "fr": "àâæçéèêëîïôœùûüÿ", "ga": "áéíóú", "hr": "čćđšž", "hu": "áéíóöőúüű",
    "is": "áðéíóúýþæö", "it": "àèéìíòóùú", "lt": "ąčęėįšųūž", "lv": "āčēģīķļņšūž",
    "mt": "àċèġħìòùż", "nb": "àæéøå", "nl": "áâäèéêëíîïóôöúûü", "pl": "ąćęłńóśźż",
    "pt": "áàâãçéêíóôõú", "ro": "ăâîșț", "sk": "áäčďéíĺľňóôŕšťúýž", "sl": "čšž", "sv": "àåäéö",
    "tr": "çğıİöşü", "cy": "âêîôûŵŷ",
}  # fmt: skip
MARKS = "–—‘’‚“”„•…‹›«»€£$¥¢−·×÷°§½±"
CURRENCIES = ("USD", "EUR", "GBP", "CHF", "PLN", "CZK", "SEK", "TRY", "INR", "CAD", "HUF", "ISK")
SPEC = json.dumps(
    {
        "data": {"values": [{"x": "Größe", "y": 2}, {"x": "Łódź & <x>", "y": 1}]},
        "mark": "bar",
        "encoding": {"x": {"field": "x"}, "y": {"field": "y"}},
        "config": charts.theme(),
    }
)


def font(name: str) -> TTFont:
    """Open a file of the bundled fonts."""
    return TTFont(FONTS / f"{name}.woff2")


def letters(name: str, part: str = "") -> set[int]:
    """Return the letters of a file."""
    return set(font(name + part).getBestCmap())


def test_all_fonts_together_take_no_more_than_62_kb() -> None:
    files = list(FONTS.glob("*.woff2"))
    assert sorted(path.stem for path in files) == sorted(name + part for name, part in PARTS)
    assert sum(path.stat().st_size for path in files) <= MOST


def test_licences_travel_with_the_fonts_into_every_site_and_its_zip() -> None:
    """OFL 1.1, clauses 2 (notice and licence in each copy) and 3 (no reserved name)."""
    files = assets(templates_folder())
    for name in files:
        if name.endswith(".woff2"):
            licence = "heads" if name.startswith("assets/fonts/heads") else "text"
            text = files[f"assets/fonts/{licence}-OFL.txt"].decode()
            assert "SIL OPEN FONT LICENSE Version 1.1" in text
            assert name.rpartition("/")[2] in text
            names = TTFont(io.BytesIO(files[name]))["name"]
            assert "Copyright" in str(names.getName(0, 3, 1))
            assert not re.search("plex|ibm", str(names.getName(1, 3, 1)), re.IGNORECASE)
    fonts = {name for name in files if name.startswith("assets/fonts/")}
    assert len(fonts) == 8
    assert fonts <= archived(files).keys()


@pytest.mark.parametrize("name", FACES)
def test_a_face_has_the_letters_of_every_latin_language_of_europe(name: str) -> None:
    known = {chr(code) for code in letters(name) | letters(name, "-more")}
    missing = {
        language: set(text + text.upper().replace("SS", "ß")) - known
        for language, text in LETTERS.items()
    }
    assert {language: each for language, each in missing.items() if each} == {}
    assert set(MARKS) <= known


@pytest.mark.parametrize("code", CURRENCIES)
def test_sums_of_money_are_written_in_the_fonts_of_the_pages(code: str) -> None:
    """Symbols as CLDR has them, with the spaces that some locales put between digits."""
    known = letters("text") | letters("text", "-more")
    for locale in ("en_US", "de_DE", "fr_FR", "pl_PL", "sv_SE", "tr_TR"):
        marks = Locale.parse(locale).number_symbols["latn"]
        text = get_currency_symbol(code, locale) + marks["group"] + marks["decimal"]
        assert set(map(ord, text)) <= known


def test_what_english_pages_say_needs_the_first_part_alone() -> None:
    texts = "".join("".join(message.id) for message in gathered())
    said = {ord(letter) for letter in texts if letter.isprintable()}
    for name in FACES:
        assert said - letters(name) == set()


@pytest.mark.parametrize("name", FACES)
def test_the_parts_of_a_face_share_no_letter_and_make_it_whole(name: str) -> None:
    first, rest = letters(name), letters(name, "-more")
    assert first & rest == set()
    whole = TTFont(WHOLE / f"{name}.ttf")
    assert set(whole.getBestCmap()) == first | rest
    assert whole["OS/2"].usWeightClass == FACES[name][1]
    assert str(whole["name"].getName(1, 3, 1)) == FACES[name][0]


@pytest.mark.parametrize("name", ["text", "strong"])
def test_figures_are_of_one_width_and_joiners_of_none(name: str) -> None:
    each = font(name)
    widths = {each["hmtx"][each.getBestCmap()[ord(digit)]][0] for digit in "0123456789"}
    assert len(widths) == 1
    assert each["hmtx"][each.getBestCmap()[0x2060]][0] == 0


def test_every_font_of_the_style_sheet_is_there_and_no_other_family_comes_first() -> None:
    css = "".join(path.read_text() for path in sorted(FONTS.parent.rglob("*.css")))
    named = re.findall(r'url\("fonts/([\w-]+)\.woff2"\)', css)
    assert sorted(named) == sorted(name + part for name, part in PARTS)
    families = re.findall(r"--(?:heads|sans): \"([^\"]+)\"", css)
    assert families == [HEADS, FAMILY]
    assert charts.SANS.startswith(f"{FAMILY},")


def test_a_picture_names_the_pages_own_family_and_no_font_of_its_own() -> None:
    picture = rendered(SPEC)
    assert re.findall(r'font-family="([^",]+)', picture) == [FAMILY]
    assert "Łódź &amp; &lt;x&gt;" in picture
    within = charts.for_page("a", picture)
    assert "font-family" not in within
    assert "Łódź &amp; &lt;x&gt;" in within


def test_a_picture_is_laid_out_by_the_width_of_the_pages_letters() -> None:
    """Were the fonts unknown, another family's letters would be as wide as these by accident only.

    The axis keeps as much room as its longest label needs: the label's letters in Plex Sans
    Condensed, 12 units high.
    """
    narrow, wide = (
        json.dumps(
            {
                "data": {"values": [{"x": 1, "y": label}]},
                "mark": "bar",
                "encoding": {"x": {"field": "x", "type": "quantitative"}, "y": {"field": "y"}},
                "width": 100,
                "config": charts.theme(),
            }
        )
        for label in ("1111", "1111222233334444")
    )
    room = [
        float(re.search(r'<svg[^>]* width="([\d.]+)"', rendered(each))[1])
        for each in (narrow, wide)
    ]
    assert room[1] - room[0] == pytest.approx(12 * 12 * 0.54, abs=1.0)


DRAWING = f"""
from panelworth.publishing.charts.rendering import rendered
print(rendered({SPEC!r}))
"""


def misleading(home: Path) -> None:
    """Put fonts into a home that go by well-known names, and by ours, with letters of another."""
    folder = home / ".fonts"
    folder.mkdir(parents=True)
    for number, family in enumerate(("Arial", "Liberation Sans", "DejaVu Sans", "Helvetica")):
        fake = TTFont(WHOLE / "heads.ttf")
        for name in fake["name"].names:
            if name.nameID in (1, 16):
                name.string = family
        fake["OS/2"].usWeightClass = 400
        fake.save(folder / f"{number}.ttf")


def environment(home: Path, config: str) -> dict[str, str]:
    """Return the surroundings of a machine with the fonts of this home, or with none."""
    home.mkdir(exist_ok=True)
    (home / "fonts.conf").write_text(f"<fontconfig>{config}</fontconfig>")
    return {
        **os.environ,
        "HOME": str(home),
        "XDG_DATA_HOME": str(home / "data"),
        "FONTCONFIG_FILE": str(home / "fonts.conf"),
    }


def machines(folder: Path) -> list[dict[str, str]]:
    """Return three machines: without a font, with the base system's, with fonts that mislead."""
    misleading(folder / "many")
    cache = f"<cachedir>{folder}/cache</cachedir>"
    base = f"<dir>/usr/share/fonts</dir>{cache}"
    return [
        environment(folder / "none", cache),
        environment(folder / "base", base),
        environment(folder / "many", f"<dir>{folder}/many/.fonts</dir>{base}"),
    ]


def test_pictures_are_the_same_whatever_fonts_a_machine_has(tmp_path: Path) -> None:
    words = [sys.executable, "-c", DRAWING]
    made = {
        subprocess.run(words, capture_output=True, check=True, env=each).stdout
        for each in machines(tmp_path)
    }
    assert len(made) == 1


def test_a_pdf_is_the_same_whatever_fonts_a_machine_has(tmp_path: Path) -> None:
    made, out = set(), tmp_path / "handout.pdf"
    words = [sys.executable, "-m", "panelworth", "handout", "scenarios/brackenholt-owner"]
    for each in machines(tmp_path):
        given = [*words, "--trials", "100", "--out", out]
        subprocess.run(given, capture_output=True, check=True, env=each, cwd=ROOT)
        made.add(out.read_bytes())
    assert len(made) == 1
    assert named_in(made.pop()) == {HEADS, FAMILY}


def named_in(pdf: bytes) -> set[str]:
    """Return the families of the fonts in a PDF."""
    pages = PdfReader(io.BytesIO(pdf)).pages
    named = {
        each.get_object()["/BaseFont"]
        for page in pages
        for each in page["/Resources"]["/Font"].values()
    }
    return {" ".join(re.split("[+-]", name)[1:3]) for name in named}
