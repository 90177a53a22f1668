"""The one place where a request's body is read.

A body counts only when all of it has come: a stream that breaks, is shorter than announced or longer than the
limit is refused, never cut. The limit handed to the framework is one byte more than ours, because the framework
ends a stream of unknown length at its limit without saying so.
"""

from __future__ import annotations

from typing import Final

from flask import Request
from werkzeug.exceptions import RequestEntityTooLarge

from changeout.domain.problems import Refusal
from changeout.intake.reader import MOST_BYTES
from changeout.web.batch import NDJSON, Lines

_JSON: Final = "application/json"


def read_body(request: Request) -> bytes:
    """Return the whole JSON body of *request*.

    Raises:
        Refusal: ``unsupported-media-type``, ``body-too-large`` or ``body-truncated``.
    """
    _check_media_type(request, _JSON)
    return read_whole(request, MOST_BYTES)


def read_whole(request: Request, most: int) -> bytes:
    """Return the body of *request* if all of it has come and it has at most *most* bytes.

    Raises:
        Refusal: ``body-too-large`` or ``body-truncated``.
    """
    announced = request.content_length
    if announced is not None and announced > most:
        raise _too_large(most)
    request.max_content_length = most + 1
    try:
        body = request.get_data(cache=False)
    except RequestEntityTooLarge:
        raise _too_large(most) from None
    except Exception as broken:
        # The server's own stream errors have no common base: whatever breaks while reading, the body is not whole.
        raise _truncated() from broken
    if len(body) > most:
        raise _too_large(most)
    if announced is not None and len(body) != announced:
        raise _truncated()
    return body


def read_lines(request: Request) -> Lines:
    """Return the lines of the NDJSON body of *request*; nothing is read yet.

    Raises:
        Refusal: ``unsupported-media-type``.
    """
    _check_media_type(request, NDJSON)
    return Lines(stream=request.stream, announced=request.content_length)


def _check_media_type(request: Request, taken: str) -> None:
    media_type = request.mimetype
    with_suffix = taken == _JSON and media_type.startswith("application/") and media_type.endswith("+json")
    if media_type != taken and not with_suffix:
        found = f"not {media_type}" if media_type else "and none was given"
        raise _unsupported(taken, f"The content type must be {taken}, {found}.")
    charset = request.mimetype_params.get("charset", "utf-8")
    if charset.lower() != "utf-8":
        raise _unsupported(taken, "JSON is taken in UTF-8 only; leave the charset out.")
    coding = request.headers.get("Content-Encoding", "identity")
    if coding.strip().lower() != "identity":
        raise _unsupported(taken, "Content codings are not taken; send the document as it is.")


def _unsupported(taken: str, detail: str) -> Refusal:
    return Refusal("unsupported-media-type", detail, headers=(("Accept", taken), ("Accept-Encoding", "identity")))


def _too_large(most: int) -> Refusal:
    return Refusal("body-too-large", f"The body may have {most:,} bytes.")


def _truncated() -> Refusal:
    return Refusal("body-truncated", "The body ended before it was complete; send it again.")
