"""A first scenario folder with placeholder values for the user to replace.

Only the placeholder values are here; labels, units and meanings come from the declarations.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from textwrap import fill
from typing import Literal, get_args, get_origin

from panelworth.model.club import Club, Profile
from panelworth.model.club_only import is_club_only
from panelworth.model.equipment import Airplane, Alternator, Battery, Fuel, LoadingCase, Unit
from panelworth.model.ledger import Entry
from panelworth.model.option import (
    After,
    Buy,
    Credit,
    Funding,
    Item,
    Loan,
    Members,
    Option,
    Sell,
)
from panelworth.model.scenario import (
    Aircraft,
    FixedCost,
    Insurance,
    Job,
    Rates,
    Recurring,
    Repairs,
    Scenario,
    Uncertainty,
)
from panelworth.model.schedule import Schedule
from panelworth.model.value import Quantity, Record, declaration_of
from panelworth.publishing.formats import Formats, joined

Files = dict[str, bytes]
FORMATS = Formats(currency="USD", units="us")
PLACEHOLDER = "placeholder"
LINE = 96  # characters of a comment line
TOP = (
    "Every value marked as a placeholder is invented: write your own over it, and remove its "
    f'mark, source = "{PLACEHOLDER}" or the comment behind it. A number may be '
    'plain, a range [low, likely, high], or { low = 1, likely = 2, high = 3, source = "…" }. '
    "Rates and shares are fractions: 5% is 0.05. What is left out counts as 0."
)
# Keys whose values connect the files; all other values are invented, and marked as such.
STRUCTURE = {
    *("baseline", "kind", "name", "group", "when", "ledger", "jobs", "removes", "recurring_done"),
    *(
        "solve",
        "solve_chance",
        "floor_years",
        "essential",
        "monitored",
        "provides",
        "needs",
        "trials",
        "seed",
        "correlation",
    ),
}


@dataclass(frozen=True, kw_only=True)
class Section:
    """One table of a file: its header, the record that declares its keys, its values."""

    header: str
    record: type[Record]
    values: dict[str, str]


def _of(header: str, record: type[Record], **values: str) -> Section:
    return Section(header=header, record=record, values=values)


TITLE = '"The title of our question"'
QUESTION = '"Shall we keep the panel going, refit it, or replace the airplane?"'
OF_ONE = {  # what an owner says in place of it
    TITLE: '"The title of my question"',
    QUESTION: '"Shall I keep the panel going, refit it, or replace the airplane?"',
}
SCENARIO = (
    _of(
        "", Scenario, title=TITLE, question=QUESTION,
        as_of="2030-01-01", currency='"USD"', units='"us"', baseline='"keep"', years="10",
    ),
    _of("[rates]", Rates, discount="[0.03, 0.05, 0.07]", inflation="[0.02, 0.03, 0.04]",
        fuel_inflation="[0.01, 0.03, 0.06]", equipment_inflation="[0.02, 0.03, 0.05]"),
    _of(
        "[aircraft]", Aircraft, label='"The airplane"', hours_per_year="[80, 100, 120]",
        hours_lost_per_year="[0, 10, 20]", season="[1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1]",
        value="[40000, 50000, 60000]", value_change="[-0.02, -0.01, 0.0]", selling_cost="0.05",
        hourly_rate="100", worth_per_hour="[100, 150, 200]", fuel_per_hour="10",
        fuel_price="[5, 6, 8]", oil_per_hour="1", engine_reserve_per_hour="10",
        other_per_hour="10", resale_recovery="[0.3, 0.5, 0.7]", recovery_fade="0.05",
    ),
    _of("[[aircraft.fixed]]", FixedCost, name='"Hangar"', per_year="1000"),
    _of("[[aircraft.fixed]]", FixedCost, name='"Annual inspection"', per_year="[1000, 2000, 3000]"),
    _of("[[aircraft.recurring]]", Recurring, name='"Static system and transponder test"',
        cost="500", every_months="24", last_done="2029-01-01"),
    _of("[aircraft.insurance]", Insurance, agreed_value="50000", hull_rate="0.01",
        liability_per_year="1000"),
    _of("[aircraft.repairs]", Repairs, per_year="[500, 1000, 3000]", growth="[0.0, 0.05, 0.1]"),
    _of("[club]", Club, members="20", dues_per_month="50", joining_fee="100", reserve="50000",
        reserve_floor="10000", floor_years="5", other_net_per_year="0",
        moved_share="[0.0, 0.2, 0.4]"),
    _of("[[club.profiles]]", Profile, name='"Flies once a month"', hours_per_year="12"),
    _of("[[jobs]]", Job, name='"Replace the old static hoses"', now="500", later="1000",
        chance_per_year="[0.05, 0.1, 0.2]"),
    _of("[uncertainty]", Uncertainty, trials="10000", seed="1", correlation="0.3"),
)  # fmt: skip
SCHEDULE = _of("[schedule]", Schedule, order="2030-02-01", start="2030-04-01",
               weeks_down="[4, 6, 10]", lead_weeks="[2, 4, 8]")  # fmt: skip
KEEP = (
    _of("", Option, title='"Keep the panel going"', kind='"keep"',
        summary='"What is done if nothing is decided."'),
)  # fmt: skip
REFIT = (
    _of("", Option, title='"Refit the panel"', kind='"retrofit"',
        summary='"What goes in, who does it."', jobs='["Replace the old static hoses"]',
        removes='["Old radio"]'),
    SCHEDULE,
    _of("[[items]]", Item, name='"New radio"', group='"equipment"',
        cost="[4000, 5000, 7000]", tax="0.05", when='"order"', ledger='"radio"'),
    _of("[[items]]", Item, name='"Work at the shop"', group='"labour"', hours="[30, 40, 60]",
        rate="100", when='"finish"'),
    _of("[[credits]]", Credit, name='"Removed units sold"', amount="[0, 500, 1000]",
        when='"finish"'),
    _of("[after]", After, hours_lost_per_year="[0, 2, 5]", hours_per_year_change="[0, 10, 20]",
        recurring_done='["Static system and transponder test"]'),
    _of("[after.repairs]", Repairs, per_year="[100, 300, 1000]", growth="0.02"),
    _of("[members]", Members, joined="[0, 1, 3]", over_months="12"),
    _of("[funding]", Funding, solve='"dues"', solve_chance="0.8"),
    _of("[[installs]]", Unit, name='"New radio"', weight="5", arm="70", amps="2",
        provides='["communication"]', needs='["electrical source"]'),
)  # fmt: skip
REPLACE = (
    _of("", Option, title='"Sell it and buy another"', kind='"replace"',
        summary='"What kind of airplane instead."'),
    SCHEDULE,
    _of("[sell]", Sell, price="[40000, 50000, 60000]", when='"start"'),
    _of("[buy]", Buy, price="[90000, 100000, 120000]", tax="0.05", when='"finish"'),
    _of("[[items]]", Item, name='"Inspection before purchase"', group='"other"',
        cost="[500, 1000, 2000]", when='"order"'),
    _of("[after]", After, hours_lost_per_year="[0, 2, 5]", hourly_rate="120"),
    _of("[[after.recurring]]", Recurring, name='"Static system and transponder test"',
        cost="500", every_months="24", last_done="2029-06-01"),
    _of("[after.insurance]", Insurance, agreed_value="100000"),
    _of("[funding.loan]", Loan, share="0.5", apr="0.08", months="60", when='"finish"'),
)  # fmt: skip
EQUIPMENT = (
    _of("[airplane]", Airplane, empty_weight="1500", empty_arm="80", max_weight="2300",
        envelope="[[75, 1500], [75, 2000], [80, 2300], [90, 2300], [90, 1500]]",
        stations='{ "Front seats" = 85, "Baggage" = 120 }'),
    _of("[airplane.fuel]", Fuel, arm="90", usable="40", weight_per_unit="6"),
    _of("[airplane.alternator]", Alternator, amps="60", monitored="false"),
    _of("[airplane.battery]", Battery, ampere_hours="24", usable_share="0.75",
        recognition_minutes="5"),
    _of("[[loading_cases]]", LoadingCase, name='"Two up front with full fuel"',
        loads='{ "Front seats" = 340 }', fuel="40"),
    _of("[[units]]", Unit, name='"Alternator"', weight="12", arm="50",
        provides='["electrical source", "generator"]'),
    _of("[[units]]", Unit, name='"Old radio"', weight="8", arm="70", amps="[2, 3, 4]",
        intermittent_amps="6", essential="true", provides='["communication"]',
        needs='["electrical source"]'),
)  # fmt: skip
NOTE = """<!-- placeholder -->

The story behind the question, in a few paragraphs of Markdown: what is wrong with the
panel, what was tried, who asked for which quote. It stands at the end of the front page. A file
named for an option, such as notes/refit.md, tells that option's story on its own page. No page
shows this text: write yours over it, and take out its first line.
"""
WORTH = "worth_per_hour"  # left out, the worth of a club's hours is what members pay


def starting_files(*, owner: bool) -> Files:
    """Return the files of a first scenario: a club's, or a single owner's without the club."""
    texts = {
        "scenario.toml": _file(_of_owner(SCENARIO) if owner else _without(SCENARIO, WORTH)),
        "options/keep.toml": _file(KEEP),
        "options/refit.toml": _file(_of_owner(REFIT) if owner else REFIT),
        "options/replace.toml": _file(_of_owner(REPLACE) if owner else REPLACE),
        "equipment.toml": _file(EQUIPMENT),
        "ledger.csv": f"{','.join(key for key in Entry.model_fields if key != 'line')}\n",
        "notes/scenario.md": NOTE,
    }
    return {name: text.encode() for name, text in texts.items()}


def _of_owner(sections: tuple[Section, ...]) -> tuple[Section, ...]:
    """Leave out what only a club has, and let the texts speak of one person."""
    own = (
        replace(
            section,
            values={
                key: OF_ONE.get(value, value)
                for key, value in section.values.items()
                if not is_club_only(section.record, key)
            },
        )
        for section in sections
    )
    return tuple(section for section in own if section.values)


def _without(sections: tuple[Section, ...], left_out: str) -> tuple[Section, ...]:
    return tuple(
        replace(
            section, values={key: section.values[key] for key in section.values if key != left_out}
        )
        for section in sections
    )


def _file(sections: Sequence[Section]) -> str:
    """Write a file of invented values, which are marked as such."""
    return commented_file(sections, TOP, FORMATS, _marked)


def commented_file(
    sections: Sequence[Section],
    top: str,
    formats: Formats,
    pair: Callable[[type[Record], str, str], str],
) -> str:
    """Write a file. A comment above the first use of a key has its label, unit and meaning.

    `pair` writes a key of a record with its value.
    """
    explained = set()
    parts = [_comment(top)]
    for section in sections:
        parts.append("")
        if section.header:
            parts.append(section.header)
        for key, value in section.values.items():
            if (section.record, key) not in explained:
                parts.append(_comment(_meaning(section.record, key, formats)))
            explained.add((section.record, key))
            parts.append(pair(section.record, key, value))
    return "\n".join([*parts, ""])


def _marked(record: type[Record], key: str, value: str) -> str:
    """Write a key with its value; an invented value is marked by its source or a comment."""
    if key in STRUCTURE:
        return f"{key} = {value}"
    if not _is_quantity(record, key):
        return f"{key} = {value}  # {PLACEHOLDER}"
    parts = [part.strip() for part in value.strip("[]").split(",")]
    ends = zip(("low", "likely", "high"), parts, strict=True) if len(parts) > 1 else ()
    numbers = [f"{end} = {part}" for end, part in ends] or [f"likely = {value}"]
    return f'{key} = {{ {", ".join(numbers)}, source = "{PLACEHOLDER}" }}'


def _is_quantity(record: type[Record], key: str) -> bool:
    annotation = record.model_fields[key].annotation
    return Quantity in (annotation, *get_args(annotation))


def _meaning(record: type[Record], key: str, formats: Formats) -> str:
    declaration, choices = (
        declaration_of(record, key),
        _choices(record.model_fields[key].annotation),
    )
    unit = joined(choices, "or") if choices else formats.unit(declaration["unit"])
    return f"{declaration['label']} ({unit}): {declaration['meaning']}"


def _choices(annotation: object) -> list[str]:
    """Return the allowed words of a key that allows only certain words."""
    if get_origin(annotation) is Literal:
        return [str(choice) for choice in get_args(annotation)]
    return [choice for inner in get_args(annotation) for choice in _choices(inner)]


def _comment(text: str) -> str:
    return fill(text, LINE, initial_indent="# ", subsequent_indent="# ")
