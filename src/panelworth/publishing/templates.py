"""Where the templates lie, and the fonts among them."""

from pathlib import Path

WHOLE = "fonts"  # within the templates: each face in one file


def templates_folder() -> Path:
    """Return the templates: within the installed package, or beside src/ in a checkout."""
    package = Path(__file__).parents[1]
    packed = package / "_templates"
    return packed if packed.is_dir() else package.parents[1] / "templates"
