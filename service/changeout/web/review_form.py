"""The form of the review page: read whole, then taken apart. Both ways in which a browser sends a form are taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from io import BytesIO
from typing import Final

from flask import Request
from werkzeug.datastructures import FileStorage, MultiDict
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.formparser import FormDataParser

from changeout.application.review_flow import Asked
from changeout.domain.problems import Refusal
from changeout.intake.reader import MOST_BYTES
from changeout.web.body import read_whole

MOST_FORM_BYTES: Final = 3 * MOST_BYTES + 64 * 1024
"""A document of the greatest size with one before it to go back to, and the rest of the form."""

MOST_PARTS: Final = 5000
"""How many fields a form may have."""

MEDIA_TYPES: Final = ("multipart/form-data", "application/x-www-form-urlencoded")

ANSWER: Final = "answer:"
DECIDE: Final = "decide:"
WHY: Final = "why:"


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """What the form said: the document and what to do with it, and what was decided of findings, by key and by whom."""

    asked: Asked
    token: str = ""
    decisions: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    by: str = ""


def read_form(request: Request) -> Form:
    """Return the form in the body of *request*.

    Raises:
        Refusal: ``unsupported-media-type``, ``body-too-large`` or ``body-truncated``.
    """
    if request.mimetype not in MEDIA_TYPES or "Content-Encoding" in request.headers:
        raise Refusal("unsupported-media-type", f"The form is sent as {' or '.join(MEDIA_TYPES)}.")
    body = read_whole(request, MOST_FORM_BYTES)
    parser = FormDataParser(
        stream_factory=_in_memory,
        max_form_memory_size=MOST_FORM_BYTES,
        max_content_length=MOST_FORM_BYTES,
        max_form_parts=MOST_PARTS,
    )
    try:
        _, fields, files = parser.parse(BytesIO(body), request.mimetype, len(body), request.mimetype_params)
    except RequestEntityTooLarge:
        raise Refusal("body-too-large", f"The form may have {MOST_PARTS:,} fields.") from None
    return Form(
        asked=_asked(fields, files),
        token=fields.get("token", ""),
        decisions=_decisions(fields),
        by=fields.get("by", "").strip(),
    )


def _in_memory(
    total_content_length: int | None,  # noqa: ARG001 - the parser's own signature
    content_type: str | None,  # noqa: ARG001
    filename: str | None,  # noqa: ARG001
    content_length: int | None = None,  # noqa: ARG001
) -> BytesIO:
    return BytesIO()


def _asked(fields: MultiDict[str, str], files: MultiDict[str, FileStorage]) -> Asked:
    edition = fields.get("edition") or None
    compare, sweep = "compare" in fields, fields.get("sweep") or None
    if "undo" in fields:
        return Asked(body=fields.get("before", "").encode(), edition=edition, compare=compare, sweep=sweep)
    picked = files["file"].read() if "file" in files else b""
    jurisdiction = fields.get("jurisdiction")
    return Asked(
        body=picked or fields.get("document", "").encode("utf-8", "replace"),
        edition=edition,
        jurisdiction=None if jurisdiction == fields.get("jurisdiction_was") or picked else jurisdiction,
        answers={} if picked else _answers(fields),
        patch=fields.get("apply") or None,
        compare=compare,
        sweep=sweep,
    )


def _answers(fields: MultiDict[str, str]) -> dict[str, tuple[str, ...]]:
    return {
        name.removeprefix(ANSWER): tuple(given)
        for name, given in fields.lists()
        if name.startswith(ANSWER) and any(text.strip() for text in given)
    }


def _decisions(fields: MultiDict[str, str]) -> dict[str, tuple[str, str]]:
    return {
        name.removeprefix(DECIDE): (action, fields.get(f"{WHY}{name.removeprefix(DECIDE)}", "").strip())
        for name, action in fields.items()
        if name.startswith(DECIDE) and action
    }
