"""The options of a scenario as columns of a vote: by id, title or short name."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from panelworth.model.names import heading_key, short_names
from panelworth.model.option import Option
from panelworth.problems import did_you_mean
from panelworth.reading.sheet import Sheet, SheetRow


@dataclass(frozen=True, kw_only=True)
class VoteOptions:
    """The names of a scenario's options; capitals, spaces, dashes and "_" do not matter.

    `labels` has what reports call an option: its title, or its id where two titles are alike.
    `ids` has the id of each name. A name that two options have is in `ambiguous` as well.
    `entitled` is how many may vote, None if unknown.
    """

    labels: Mapping[str, str]
    ids: Mapping[str, str]
    ambiguous: frozenset[str]
    entitled: int | None = None

    @classmethod
    def of(cls, options: Mapping[str, Option], entitled: int | None = None) -> "VoteOptions":
        """Return the names of these options; an id always means its own option."""
        titles = {option_id: option.title for option_id, option in options.items()}
        short = short_names({key: (option.short, option.title) for key, option in options.items()})
        counts = Counter(heading_key(title) for title in titles.values())
        ids: dict[str, str] = {}
        ambiguous = set[str]()
        for names in (titles, short):
            for option_id, name in names.items():
                if ids.setdefault(heading_key(name), option_id) != option_id:
                    ambiguous.add(heading_key(name))
        own = {heading_key(option_id): option_id for option_id in options}
        return cls(
            labels={
                option_id: title if counts[heading_key(title)] == 1 else option_id
                for option_id, title in titles.items()
            },
            ids=ids | own,
            ambiguous=frozenset(ambiguous - own.keys()),
            entitled=entitled,
        )

    def id_of(self, name: str) -> str:
        """Return the id of the option with this name; "" if there is none, or more than one."""
        key = heading_key(name)
        return "" if key in self.ambiguous else self.ids.get(key, "")

    def hint(self, name: str) -> str:
        """Return what to write instead of an unknown name."""
        if heading_key(name) in self.ambiguous:
            return "two options have this name: write the id of one"
        known = [*self.labels, *self.labels.values()]
        return did_you_mean(name, known, f"there is {', '.join(self.labels)}")

    def missing(self, sheet: Sheet) -> Iterator[str]:
        """Yield the label of each option that a table with labels as headings has no column for."""
        yield from (label for label in self.labels.values() if label not in sheet.titles)

    def labelled(self, sheet: Sheet) -> Sheet:
        """Return a table with the label of the option as heading of each column that names one."""
        titles = tuple(self.labels.get(self.id_of(title), title) for title in sheet.titles)
        keys = dict(zip(sheet.heading, map(heading_key, titles), strict=True))
        rows = tuple(_with_keys(row, keys) for row in sheet.rows)
        return replace(
            sheet, heading=tuple(keys[key] for key in sheet.heading), titles=titles, rows=rows
        )


def _with_keys(row: SheetRow, keys: Mapping[str, str]) -> SheetRow:
    return replace(row, cells={keys[key]: cell for key, cell in row.cells.items()})
