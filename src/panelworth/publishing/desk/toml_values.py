"""Values as TOML writes them, on one line, and when two are the same."""

import math
from datetime import date

import tomlkit


def as_toml(value: object) -> str:
    """Write a value on one line."""
    if isinstance(value, dict):
        pairs = ", ".join(f"{as_key(key)} = {as_toml(inner)}" for key, inner in value.items())
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(as_toml(entry) for entry in value)}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return tomlkit.item(value).as_string()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, int) or (isinstance(value, float) and math.isfinite(value)):
        return repr(value)
    raise ValueError(value)


def same(one: object, other: object) -> bool:
    """Return whether two values are equal in TOML, where 1 is equal to 1.0 but not to true."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(same, one, other))
    return isinstance(one, bool) == isinstance(other, bool) and one == other


def as_key(key: str) -> str:
    """Write a key, in quotation marks where it needs them."""
    return tomlkit.key(key).as_string()
