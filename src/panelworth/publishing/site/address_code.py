"""The site's address as a code that a phone's camera reads (QR, ISO/IEC 18004)."""

from segno import make

QUIET = 4  # modules of white around it, as the standard asks for


def address_code(address: str) -> str:
    """Return the code as a picture within the page: a data address, so that no file is asked for.

    Black on white whatever the page's colours, since cameras want it so.
    """
    code = make(address, error="m", micro=False)
    return str(code.svg_data_uri(border=QUIET, dark="#000", light="#fff", xmldecl=False))
