"""The site's address as a code that a phone's camera reads (QR, ISO/IEC 18004)."""

from segno import make

from panelworth.problems import Problem

QUIET = 4  # modules of white around it, as the standard asks for
MOST_LETTERS = 200  # more makes a code too fine for paper


def unfit_address(address: str) -> list[Problem]:
    """Refuse what no phone could open; an address may also be left out."""
    plain = address.isascii() and address.isprintable() and " " not in address
    begins = address.startswith(("https://", "http://"))
    if not address or (begins and plain and len(address) <= MOST_LETTERS):
        return []
    expected = f"an address that begins with https://, of at most {MOST_LETTERS} letters"
    return [Problem(file="--address", key="", expected=expected, found=f'"{address}"')]


def address_code(address: str) -> str:
    """Return the code as a picture within the page: a data address, so that no file is asked for.

    Black on white whatever the page's colours, since cameras want it so.
    """
    code = make(address, error="m", micro=False)
    return str(code.svg_data_uri(border=QUIET, dark="#000", light="#fff", xmldecl=False))
