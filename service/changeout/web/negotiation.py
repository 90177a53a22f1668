"""Which representation of a resource a caller gets, by the Accept header (RFC 9110, 12.5.1)."""

from __future__ import annotations

from collections.abc import Sequence

from werkzeug.datastructures import MIMEAccept
from werkzeug.http import parse_accept_header

from changeout.domain.problems import Refusal


def choose(accept: str | None, offered: Sequence[str]) -> str:
    """Return the offered media type that the caller wants most; among equals, the one offered first.

    Parameters of media types are ignored, q apart. No header, or an empty one, takes anything.

    Raises:
        Refusal: ``not-acceptable``, naming what is offered.
    """
    if accept is None or not accept.strip():
        return offered[0]
    ranges = [(wanted.partition(";")[0].strip().lower(), q) for wanted, q in parse_accept_header(accept, MIMEAccept)]
    best = max(offered, key=lambda media_type: _quality(media_type, ranges))
    if _quality(best, ranges) > 0:
        return best
    raise Refusal("not-acceptable", f"This resource can be had as {', '.join(offered)}.")


def _quality(media_type: str, ranges: Sequence[tuple[str, float]]) -> float:
    """Return the q of the most specific range that covers *media_type*; 0 where none does."""
    for pattern in (media_type, media_type.partition("/")[0] + "/*", "*/*"):
        found = [q for wanted, q in ranges if wanted == pattern]
        if found:
            return max(found)
    return 0.0
