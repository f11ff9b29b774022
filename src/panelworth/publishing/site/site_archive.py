"""The site in one file to carry along: what opens from a folder, and nothing else.

The same site gives the same bytes: names in order, no times.
"""

import io
import re
from collections.abc import Mapping
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

NAME = "site.zip"
FOLDER = "site/"  # what it unpacks to
OPENED = (".html", ".css", ".js", ".svg", ".json", ".csv", ".xlsx", ".ics", ".woff2", "OFL.txt")
LEFT_OUT = ("drawn.json", "edition-before.json")  # for the next build alone
PACKED_ALREADY = (".xlsx", ".woff2")
NO_TIME = (1980, 1, 1, 0, 0, 0)  # the earliest the format can say
OFFER = re.compile(rb'<(p|li) class="carried">.*?</\1>\n?', re.DOTALL)
UNIX, PLAIN_FILE = 3, 0o100644 << 16


def carried(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the files to carry; their pages do not offer the file they are in."""
    return {
        name: OFFER.sub(b"", files[name]) if name.endswith(".html") else files[name]
        for name in sorted(files)
        if name.endswith(OPENED) and name.rpartition("/")[2] not in LEFT_OUT
    }


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Return the file to carry along."""
    out = io.BytesIO()
    with ZipFile(out, "w") as archive:
        for name, content in carried(files).items():
            entry = ZipInfo(f"{FOLDER}{name}", NO_TIME)
            entry.create_system, entry.external_attr = UNIX, PLAIN_FILE
            packed = ZIP_STORED if name.endswith(PACKED_ALREADY) else ZIP_DEFLATED
            archive.writestr(entry, content, compress_type=packed)
    return out.getvalue()
