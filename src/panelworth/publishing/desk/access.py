"""Who may ask the desk for pages, and who may change files through it.

The address that `serve` prints carries a secret. The desk exchanges it for a cookie, so that no
page, history or referrer keeps the secret. Cookies go to every port of a machine, and programs on
other ports may set them. So a request that writes also needs the token of its form and the origin
of this very server (OWASP, Cross-Site Request Forgery Prevention).
"""

import hmac
import secrets
from collections.abc import Mapping

KEY_BYTES = 32  # 256 bits: it cannot be guessed
HTTP_PORT = 80
OWN_HOSTS = ("127.0.0.1", "localhost", "[::1]")
FORM = "application/x-www-form-urlencoded"


class Access:
    """The secrets of one run of `serve`; a new run has new ones."""

    def __init__(self) -> None:
        self.key = secrets.token_urlsafe(KEY_BYTES)
        self.cookie = secrets.token_urlsafe(KEY_BYTES)
        self._signing_key = secrets.token_bytes(KEY_BYTES)

    def knows_key(self, key: str) -> bool:
        """Return whether this is the secret of the address."""
        return hmac.compare_digest(key.encode(), self.key.encode())

    def admits(self, cookie: str) -> bool:
        """Return whether a request with this cookie may read pages."""
        return hmac.compare_digest(cookie.encode(), self.cookie.encode())

    def token(self, form: str) -> str:
        """Return the token of the form at an address: no other form accepts it."""
        text = f"{self.cookie}\n{form}".encode()
        return hmac.digest(self._signing_key, text, "sha256").hex()

    def write_refusal(self, form: str, token: str, headers: Mapping[str, str], port: int) -> str:
        """Return why a request may not write; "" if it may. The cookie is checked before."""
        if headers.get("content-type", "").partition(";")[0].strip().lower() != FORM:
            return "The desk takes forms of its own pages only."
        if not _is_own_origin(headers, port):
            return "This form does not come from the desk. Nothing was written."
        if not hmac.compare_digest(token.encode(), self.token(form).encode()):
            return "This form is from another run of panelworth. Load its page again."
        return ""


def _is_own_origin(headers: Mapping[str, str], port: int) -> bool:
    """Return whether a request says that it comes from a page of this host and port.

    `Origin` decides; where a browser does not send it, `Referer`; else `Sec-Fetch-Site`. A request
    with none of the three is refused.
    """
    host = headers.get("host", "").lower()
    default = [] if port != HTTP_PORT else OWN_HOSTS  # browsers leave this port out
    if host not in {*default, *(f"{name}:{port}" for name in OWN_HOSTS)}:
        return False
    if "origin" in headers:
        return headers["origin"].lower() == f"http://{host}"
    if "referer" in headers:
        return headers["referer"].lower().startswith(f"http://{host}/")
    return headers.get("sec-fetch-site", "") == "same-origin"
