"""The site's address as a QR code (ISO/IEC 18004) for the camera of a phone."""

from segno import make

QUIET = 4  # white modules on each side: ISO/IEC 18004 requires four


def address_code(address: str) -> str:
    """Return the code as a data URI, so that the page needs no further file.

    It is black on white in every colour scheme, because cameras read this best. Error correction
    level M restores 15 % of the code, enough for paper with folds and stains.
    """
    code = make(address, error="m", micro=False)
    return str(code.svg_data_uri(border=QUIET, dark="#000", light="#fff", xmldecl=False))
