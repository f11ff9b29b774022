"""Form fields made of the model's declarations, and typed text as values and back.

Nothing here names a single input. A field has the label, unit, meaning and default that its record
declares. How a value is typed follows from its type. Lists of records and optional tables are no
fields: they have forms of their own (`places.py`).
"""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from types import NoneType
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic_core import PydanticUndefined

from panelworth.model.value import Quantity, Record, Shape, declaration_of
from panelworth.publishing.desk.toml_edits import ENDS
from panelworth.publishing.desk.toml_positions import KeyPath, value_at
from panelworth.publishing.desk.toml_values import as_toml
from panelworth.publishing.formats import Formats
from panelworth.publishing.language import N_, _
from panelworth.publishing.starter_folder import PLACEHOLDER

PARTS = tuple(Quantity.model_fields)  # low, likely, high and what is said about them
EXTRAS = tuple(part for part in PARTS if part not in ENDS)
SHAPES = get_args(Shape)
YES, NO = "yes", "no"
SHARES = ("share", "share a year")
LONGEST = 10**18  # a longer whole number is no input; as a float it stays short
LONG_TEXT = 60  # characters: a longer text gets several lines
GROUPED = re.compile(r"[-+]?\d{1,3}(?:[ \u00a0\u202f']\d{3})+(?:\.\d*)?")
KINDS: dict[Any, "Kind"] = {
    Quantity: "quantity",
    bool: "choice",
    int: "number",
    float: "number",
    date: "date",
    str: "text",
}
KINDS_OF_LISTS: dict[Any, "Kind"] = {float: "numbers", str: "names"}
Typed = Mapping[str, str]  # what is typed, by the part of the value; "" for a value of one part
Kind = Literal["quantity", "number", "text", "date", "choice", "names", "numbers", "toml"]
UNREADABLE = N_("Expected {expected}, found “{found}”.")


@dataclass(frozen=True, kw_only=True)
class Field:
    """One key of a form: its path in the file, what declares it, and how it is typed."""

    path: KeyPath
    record: type[Record]
    key: str
    kind: Kind
    choices: tuple[str, ...] = ()
    group: str = ""  # the heading of the table within the form, if not the form's own

    @property
    def name(self) -> str:
        """The name of its input: the path, joined."""
        return ".".join(map(str, self.path))

    @property
    def label(self) -> str:
        """The declared label."""
        return _(declaration_of(self.record, self.key)["label"])

    @property
    def meaning(self) -> str:
        """The declared meaning."""
        return _(declaration_of(self.record, self.key)["meaning"])

    @property
    def unit(self) -> str:
        """The declared unit."""
        return str(declaration_of(self.record, self.key)["unit"])

    @property
    def required(self) -> bool:
        """Whether the key must be written."""
        return self.record.model_fields[self.key].is_required()

    def left_out(self) -> str:
        """Say what counts if the key is left out; "" where its meaning says so, or it must be."""
        declared = self.record.model_fields[self.key]
        default = declared.get_default(call_default_factory=True)
        default = default.likely if isinstance(default, Quantity) else default
        if default is None or default is PydanticUndefined or default in ("", ()):
            return ""
        if isinstance(default, float):
            default = int(default) if default.is_integer() else default
        elif isinstance(default, tuple) and set(default) == {1.0}:
            default = 1
        return _("If left out: {value}.", value=self.typed(default)[""])

    def typed(self, value: object) -> dict[str, str]:
        """Return a value of a file, or None, as it is typed."""
        if self.kind == "quantity":
            return _typed_quantity(value)
        if value is None:
            return {"": ""}
        if isinstance(value, bool):
            return {"": YES if value else NO}
        if self.kind == "toml":
            return {"": _written(value)}
        if isinstance(value, list | tuple):
            return {"": ("\n" if self.kind == "names" else ", ").join(map(_plain, value))}
        return {"": _plain(value)}

    def value(self, typed: Typed, old: object) -> tuple[Any, str]:
        """Return the value of what is typed, None for nothing, and what is wrong with it."""
        text, is_share = typed.get("", "").strip(), self.unit in SHARES
        if self.kind == "quantity":
            return _quantity(typed, old, share=is_share)
        if not text:
            return None, ""
        if self.kind == "number":
            return _number(text, share=is_share)
        if self.choices == (YES, NO):
            return text == YES, ""
        return READERS[self.kind](text)


def fields_of(record: type[Record], path: KeyPath, *, group: str = "") -> Iterator[Field]:
    """Yield the fields of a table's form; tables that are always there are parts of the form.

    Those at the top of a file are too large for that: each has a form of its own.
    """
    for key, declared in record.model_fields.items():
        written = declared.alias or key
        kind, optional = type_of(declared.annotation)
        inner = record_of(kind)
        if inner is None:
            yield _field(record, key, (*path, written), kind, group)
        elif path and inner is kind and not optional:
            yield from fields_of(inner, (*path, written), group=heading(inner, record, key))


def heading(inner: type[Record], record: type[Record], key: str) -> str:
    """Return the heading of a table or list within another."""
    return _(declaration_of(record, key)["label"] or getattr(inner, "heading", ""))


def type_of(annotation: Any) -> tuple[Any, bool]:  # noqa: ANN401 (any type)
    """Return a key's type without None and what validates it, and whether it may be None."""
    if get_origin(annotation) is Annotated:
        return type_of(get_args(annotation)[0])
    arguments = get_args(annotation)
    if NoneType in arguments:
        [kind] = [type_of(one)[0] for one in arguments if one is not NoneType]
        return kind, True
    return annotation, False


def record_of(kind: Any) -> type[Record] | None:  # noqa: ANN401 (any type)
    """Return the record of a table or of a list of tables; None for any other type."""
    if get_origin(kind) is tuple:
        kind = type_of(get_args(kind)[0])[0]
    return kind if isinstance(kind, type) and issubclass(kind, Record) else None


def unit_of(field: Field, formats: Formats) -> str:
    """Return a field's unit as a reader knows it; "" for those that say nothing."""
    silent = ("text", "choice", "date", "yes or no", "names", "list", "table")
    return "" if field.unit in silent else formats.unit(field.unit)


def _field(record: type[Record], key: str, path: KeyPath, kind: object, group: str) -> Field:
    how, choices = _kind_of(kind)
    return Field(path=path, record=record, key=key, kind=how, choices=choices, group=group)


def _kind_of(kind: Any) -> tuple[Kind, tuple[str, ...]]:  # noqa: ANN401 (any type)
    """Return how a type is typed, and the words to choose from."""
    if get_origin(kind) is Literal:
        return "choice", get_args(kind)
    if get_origin(kind) is tuple:
        inner = type_of(get_args(kind)[0])[0]
        return KINDS_OF_LISTS.get(str if get_origin(inner) is Literal else inner, "toml"), ()
    return KINDS.get(kind, "toml"), (YES, NO) if kind is bool else ()


def _written(value: object) -> str:
    """Write a value as in the file; one that no file should have, such as nan, as plain text."""
    try:
        return as_toml(value)
    except ValueError:
        return str(value)


def _plain(value: object) -> str:
    """Write a number, a text or a day as in the file, without quotation marks."""
    return value.isoformat() if isinstance(value, date) else str(value)


def _typed_quantity(value: object) -> dict[str, str]:
    """Return a quantity as it is typed: one number stands alone in the middle."""
    if isinstance(value, dict):
        parts = value
    elif isinstance(value, list | tuple) and len(value) == len(ENDS):
        parts = dict(zip(ENDS, value, strict=True))
    else:
        parts = {} if value is None else {"likely": value}
    typed = {part: _plain(parts.get(part, "")) for part in PARTS}
    return {**typed, "": typed["likely"]}


def _quantity(typed: Typed, old: object, *, share: bool) -> tuple[Any, str]:
    """Return what is typed as a number, a range, or a table where more is said about it."""
    numbers, wrong = {}, ""
    for end in ENDS:
        if text := typed.get(end, "").strip():
            numbers[end], problem = _number(text, share=share)
            wrong = wrong or problem
    extras = {part: text for part in EXTRAS if (text := typed.get(part, "").strip())}
    if wrong:
        return None, wrong
    if _typed_numbers(typed) != _typed_numbers(_typed_quantity(old)):
        extras = {part: text for part, text in extras.items() if text != PLACEHOLDER}
    if not numbers:
        return None, _("Write a number, or remove what is said about it.") if extras else ""
    if set(numbers) not in ({"likely"}, set(ENDS)):
        return None, _("Write the likely number alone, or all three: low, likely and high.")
    if extras:
        known = [*old, *numbers, *extras] if isinstance(old, dict) else [*numbers, *extras]
        table = {**numbers, **extras}
        return {part: table[part] for part in dict.fromkeys(known) if part in table}, ""
    return (numbers["likely"] if len(numbers) == 1 else list(numbers.values())), ""


def _typed_numbers(typed: Typed) -> list[str]:
    return [typed.get(end, "").strip() for end in ENDS]


def _number(text: str, *, share: bool) -> tuple[Any, str]:
    """Return a number; of a share also as a percentage.

    A comma is refused: it is a decimal mark in some countries and a mark of thousands in others.
    """
    plain = text.strip()
    per_cent = share and plain.endswith("%")
    if per_cent:
        plain = plain[:-1].strip()
    if GROUPED.fullmatch(plain):
        plain = re.sub(r"[ \u00a0\u202f']", "", plain)
    try:
        number = Decimal(plain.replace("\N{MINUS SIGN}", "-"))
    except InvalidOperation:
        number = Decimal("nan")
    if not number.is_finite() or "_" in plain:
        expected = _("a number such as 14200 or 0.05, with a point and without a comma")
        return None, _(UNREADABLE, expected=expected, found=text)
    if per_cent:
        number = number.scaleb(-2)
    whole = number == number.to_integral_value() and "." not in plain and abs(number) < LONGEST
    return (int(number) if whole else float(number)), ""


def _date(text: str) -> tuple[Any, str]:
    try:
        return date.fromisoformat(text), ""
    except ValueError:
        expected = _("a day such as 2027-03-15")
        return None, _(UNREADABLE, expected=expected, found=text)


def _toml(text: str) -> tuple[Any, str]:
    """Read a value of a rare type as it is written in the file."""
    try:
        return value_at(tomllib.loads(f"value = {text}"), ("value",)), ""
    except (ValueError, RecursionError):
        expected = _('a value as TOML writes it, such as [1, 2] or { "Front seats" = 340 }')
        return None, _(UNREADABLE, expected=expected, found=text)


def _numbers(text: str) -> tuple[Any, str]:
    found = [_number(part, share=False) for part in re.split(r"[,;\s]+", text) if part]
    return [number for number, _wrong in found], next((wrong for _n, wrong in found if wrong), "")


READERS: dict[Kind, Callable[[str], tuple[Any, str]]] = {
    "date": _date,
    "names": lambda text: ([line.strip() for line in text.splitlines() if line.strip()], ""),
    "numbers": _numbers,
    "toml": _toml,
    "text": lambda text: (text, ""),
    "choice": lambda text: (text, ""),
}
