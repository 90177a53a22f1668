"""The optional bearer token (RFC 6750): asked for under /v1, where something is judged or looked up.

Pages, the OpenAPI document, the probes and the meters are open: they tell nothing of what was sent.
"""

from __future__ import annotations

import hmac
from typing import Final

from flask import Flask, request

from changeout.domain.problems import Refusal

ASKED_UNDER: Final = "/v1/"
CHALLENGE: Final = 'Bearer realm="changeout"'


def register_token(app: Flask, token: str | None) -> None:
    """Make *app* ask for *token*; None asks for nothing."""
    if token is None:
        return
    expected = token.encode()

    def check() -> None:
        if request.path.startswith(ASKED_UNDER):
            _check(request.headers.get("Authorization"), expected)

    app.before_request(check)


def _check(authorization: str | None, expected: bytes) -> None:
    """Compare in a time that does not tell how much of a token is right.

    Raises:
        Refusal: ``unauthorized``.
    """
    if authorization is None:
        raise _refusal("Send the header Authorization: Bearer TOKEN.", CHALLENGE)
    scheme, _, given = authorization.partition(" ")
    if scheme.lower() != "bearer" or not hmac.compare_digest(given.strip().encode(), expected):
        raise _refusal("This token is not the one that this service takes.", f'{CHALLENGE}, error="invalid_token"')


def _refusal(detail: str, challenge: str) -> Refusal:
    return Refusal("unauthorized", detail, headers=(("WWW-Authenticate", challenge),))
