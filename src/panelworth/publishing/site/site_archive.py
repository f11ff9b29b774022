"""site.zip: the site as one file to download; it can be read from a folder, without a server.

The same site gives the same bytes: names are sorted, and times are fixed.
"""

import io
import re
from collections.abc import Mapping
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

ARCHIVE = "site.zip"
FOLDER = "site/"  # all files unpack into it
OPENED = (".html", ".css", ".js", ".svg", ".json", ".csv", ".xlsx", ".ics", ".woff2", "OFL.txt")
LEFT_OUT = ("edition-before.json",)  # only the next build needs it
COMPRESSED_ALREADY = (".xlsx", ".woff2")
NO_TIME = (1980, 1, 1, 0, 0, 0)  # the earliest time that the ZIP format can state
OFFER = re.compile(rb'<(p|li) class="archive">.*?</\1>\n?', re.DOTALL)
# Read and write for the owner, read for others, whatever system the build ran on.
UNIX, PLAIN_FILE = 3, 0o100644 << 16


def archived(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the files of the archive; its pages have no link to the archive itself."""
    return {
        name: OFFER.sub(b"", files[name]) if name.endswith(".html") else files[name]
        for name in sorted(files)
        if name.endswith(OPENED) and name.rpartition("/")[2] not in LEFT_OUT
    }


def archive_of(files: Mapping[str, bytes]) -> bytes:
    """Return the archive of a site's files."""
    out = io.BytesIO()
    with ZipFile(out, "w") as archive:
        for name, content in archived(files).items():
            entry = ZipInfo(f"{FOLDER}{name}", NO_TIME)
            entry.create_system, entry.external_attr = UNIX, PLAIN_FILE
            method = ZIP_STORED if name.endswith(COMPRESSED_ALREADY) else ZIP_DEFLATED
            archive.writestr(entry, content, compress_type=method)
    return out.getvalue()
