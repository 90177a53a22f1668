"""Refusals: a request or a document that cannot be read. A proposal that breaks the code is not one.

Every code stands here once with what it means; the documentation page of problems is made from this table.
"""

from __future__ import annotations

from typing import Final

from changeout.domain.value import value


@value(frozen=True, slots=True, kw_only=True)
class ProblemCode:
    """One kind of refusal: its name, HTTP status, title (the same for every occurrence) and meaning."""

    code: str
    status: int
    title: str
    meaning: str


@value(frozen=True, slots=True, kw_only=True)
class DocumentError:
    """One thing wrong in a document, at a JSON Pointer (RFC 6901), with line and column counted from 1."""

    pointer: str
    code: str
    detail: str
    line: int | None = None
    column: int | None = None
    suggestion: str | None = None
    also: tuple[str, ...] = ()


class Refusal(Exception):
    """A request that is answered with a problem document (RFC 9457).

    Args:
        code: A key of ``PROBLEMS``.
        detail: What this caller can do about it, in one sentence.
        errors: What is wrong in the document, if it is one.
        headers: Further response headers, such as ``Retry-After`` or ``Allow``.
    """

    def __init__(
        self,
        code: str,
        detail: str,
        errors: tuple[DocumentError, ...] = (),
        headers: tuple[tuple[str, str], ...] = (),
    ) -> None:
        """Keep what the answer needs."""
        super().__init__(f"{code}: {detail}")
        self.problem = PROBLEMS[code]
        self.detail = detail
        self.errors = errors
        self.headers = headers


def _table(*rows: tuple[str, int, str, str]) -> dict[str, ProblemCode]:
    return {
        code: ProblemCode(code=code, status=status, title=title, meaning=meaning)
        for code, status, title, meaning in rows
    }


PROBLEMS: Final = _table(
    (
        "malformed-json",
        400,
        "The body is not JSON",
        "The text breaks the JSON grammar (RFC 8259) at the line and column given.",
    ),
    (
        "duplicate-key",
        400,
        "An object has the same member twice",
        "Which of the two was meant cannot be known, so neither is taken.",
    ),
    ("not-a-number", 400, "NaN or Infinity in the body", "JSON has no such numbers."),
    (
        "number-out-of-range",
        400,
        "A number beyond what can be held",
        "The number is outside the range of an IEEE 754 double.",
    ),
    ("lone-surrogate", 400, "A text with half a surrogate pair", "The text cannot be written in UTF-8."),
    ("byte-order-mark", 400, "The body begins with a byte-order mark", "Send UTF-8 without one."),
    ("not-utf-8", 400, "The body is not UTF-8", "JSON is exchanged in UTF-8."),
    (
        "too-many-values",
        400,
        "Too many values",
        "A document may hold 20,000 values, objects and arrays among them; no proposal needs a tenth of that.",
    ),
    ("nesting-too-deep", 400, "Nested too deep", "Objects and arrays may be nested 32 levels deep."),
    ("empty-body", 400, "No body", "A JSON document is expected."),
    (
        "body-truncated",
        400,
        "The body broke off",
        "Fewer bytes came than were announced, or the transfer coding was broken.",
    ),
    (
        "bad-query",
        400,
        "A query parameter that cannot be taken",
        "The parameter is unknown, repeated, or has a value outside its list.",
    ),
    ("unauthorized", 401, "Credentials are missing or wrong", "This service is set up to ask for a bearer token."),
    ("not-found", 404, "Nothing here", "No resource has this address."),
    (
        "method-not-allowed",
        405,
        "Method not allowed",
        "The resource does not know this method; Allow lists those it knows.",
    ),
    (
        "not-acceptable",
        406,
        "No acceptable representation",
        "None of the media types in Accept can be made for this resource.",
    ),
    ("body-too-large", 413, "The body is too large", "A document may have 1 MiB."),
    (
        "too-many-lines",
        413,
        "The batch has too many lines",
        "The lines before were judged; send the rest as another batch.",
    ),
    (
        "unsupported-media-type",
        415,
        "Media type not supported",
        "The content type, its charset or the content coding is not one this resource takes.",
    ),
    (
        "unreadable-proposal",
        422,
        "The proposal cannot be read",
        "The document is JSON but not a proposal; errors lists every reason with its place.",
    ),
    (
        "unreadable-request",
        422,
        "The request document cannot be read",
        "The document is JSON but not what this resource takes; errors lists every reason with its place.",
    ),
    ("too-many-requests", 429, "Too many requests", "Try again after the time given in Retry-After."),
    ("internal-error", 500, "Our mistake", "The service failed; the request id finds the cause in its log."),
    ("overloaded", 503, "Busy", "The service takes no more work now; try again after the time given in Retry-After."),
)

ERRORS: Final = {
    "missing-member": "A member without which the document cannot be read at all is absent.",
    "unknown-member": "No member of this name exists here; the nearest known name is suggested.",
    "wrong-type": "The value has another JSON type than the member takes; types are never coerced.",
    "not-in-list": "The value is not one of the closed list of the member.",
    "bad-quantity": "A quantity is written as a number, one space and a unit of the member's list.",
    "bare-number": "A number without a unit where a quantity is expected.",
    "wrong-unit": "The unit is not in the closed list of the member.",
    "out-of-range": "The value is outside the physical range of the member.",
    "bad-date": "A date is written YYYY-MM-DD and names a day that exists.",
    "bad-text": "The text is empty, too long or holds control characters.",
    "bad-voltage": "A voltage rating is written as marked: 240 V, 120/240 V, 480Y/277 V.",
    "too-many": "The list or object has more entries than it may.",
    "not-unique": "The value must be unique among its like.",
    "no-such-document": "A document member names no entry of documents.",
    "no-such-finding": "A decision names a rule and subject that the report has no finding to decide on of.",
    "wrong-for-kind": "The member does not belong to the kind or method chosen beside it.",
    "bad-patch": "The patch is no RFC 6902 patch, or does not fit the document.",
    "contradiction": "Two facts that cannot both be true.",
    "no-edition": "Neither an edition nor a jurisdiction with a date is given, so no ruleset can be chosen.",
    "no-such-jurisdiction": "The jurisdiction is not among those that the service knows.",
    "before-first-adoption": "The date is before the first adoption known for the jurisdiction.",
}
