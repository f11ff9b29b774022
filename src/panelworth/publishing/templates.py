"""The folder of the templates, and that of the fonts within it."""

from pathlib import Path

FONT_FOLDER = "fonts"  # within the templates; it has each face as one file


def templates_folder() -> Path:
    """Return the folder: within the installed package, or beside src/ in a checkout."""
    package = Path(__file__).parents[1]
    packed = package / "_templates"
    return packed if packed.is_dir() else package.parents[1] / "templates"
