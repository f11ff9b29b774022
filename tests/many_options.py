"""A club with many options, made from the demo's: for measuring, not for reading."""

import re
import shutil
from pathlib import Path

CLUB = Path(__file__).parents[1] / "scenarios" / "quillmeadow-club"
COPIED = ("part", "full", "replace")


def club_with(count: int, folder: Path) -> Path:
    """Write the demo's club with so many options: its own again and again under other names."""
    shutil.copytree(CLUB, folder)
    for number in range(count - len(COPIED) - 1):
        name = COPIED[number % len(COPIED)]
        text = (folder / "options" / f"{name}.toml").read_text()
        title = re.search(r'^title = "(.*)"$', text, re.MULTILINE)
        assert title is not None
        text = text.replace(title.group(), f'title = "{title.group(1)}, way {number + 2}"', 1)
        (folder / "options" / f"{name}-{number + 2}.toml").write_text(text)
    return folder
