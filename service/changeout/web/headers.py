"""The headers that every response carries."""

from __future__ import annotations

import re
import uuid
from typing import Final

from flask import Flask, Response, g, request

from changeout import __version__
from changeout.render.page_html import style_hash

INTERFACE_REVISION: Final = "1"
REQUEST_ID: Final = "X-Request-Id"
_WELL_FORMED_ID: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}", re.ASCII)

POLICY: Final = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
PAGE_POLICY: Final = (
    f"default-src 'none'; script-src 'self'; style-src 'self' {style_hash()}; img-src 'self' data:; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
"""For pages: what they need comes from this service, and nothing written into the page itself runs.

Reports and documents stand alone, so one style sheet, known by its digest, may be written into a page.
"""

FORM_POLICY: Final = PAGE_POLICY.replace("form-action 'none'", "form-action 'self'")
"""For the one page with a form, which is sent here and nowhere else."""


def register_headers(app: Flask, ruleset_digest: str) -> None:
    """Give each request of *app* an id and each response its headers."""

    def identify() -> None:
        given = request.headers.get(REQUEST_ID, "")
        g.request_id = given if _WELL_FORMED_ID.fullmatch(given) else uuid.uuid4().hex

    def add(response: Response) -> Response:
        is_page = response.mimetype == "text/html"
        response.headers["Changeout-Engine"] = __version__
        response.headers["Changeout-Interface"] = INTERFACE_REVISION
        response.headers["Changeout-Ruleset"] = ruleset_digest
        response.headers[REQUEST_ID] = g.request_id
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["Referrer-Policy"] = "no-referrer"
        response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
        response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
        response.headers.setdefault("Content-Security-Policy", PAGE_POLICY if is_page else POLICY)
        response.headers.setdefault("Cache-Control", "no-store")
        return response

    app.before_request(identify)
    app.after_request(add)
