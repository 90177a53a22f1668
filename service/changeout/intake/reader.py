"""From bytes to JSON values: strict UTF-8, strict grammar, no member twice, no number that cannot be held.

There are two readers. The fast one is the standard library's with hooks; whatever it refuses, and whatever it
would let pass although it must not, goes to the placing one (``changeout.intake.placing``), which decides and says
where. Both take and refuse the same texts.
"""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass
from typing import Any, Final, NoReturn

from changeout.domain.problems import DocumentError, Refusal
from changeout.intake.placing import (
    MOST_LEVELS,
    MOST_VALUES,
    Places,
    Position,
    place,
    position_at,
    read_placing,
    real_number,
)

MOST_BYTES: Final = 1024 * 1024
"""The size a document may have."""

_BYTE_ORDER_MARKS: Final = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")
_SURROGATE_ESCAPE: Final = re.compile(r"\\u[dD][89a-fA-F]")
_DIGITS_OF_LARGEST_DOUBLE: Final = 309


@dataclass(frozen=True, slots=True, kw_only=True)
class JsonText:
    """A JSON document: its text and its value."""

    text: str
    value: object

    def places(self) -> Places:
        """Return where every value and key stands. Takes as long as reading it again; ask once, to place errors."""
        return place(self.text)


class _ReadAgainError(ValueError):
    """Something that the placing reader must look at."""


def read_json(body: bytes) -> JsonText:
    """Return the JSON document that *body* holds.

    Raises:
        Refusal: if it is empty, too large, not UTF-8 or not JSON as this service takes it.
    """
    text = decode(body)
    return JsonText(text=text, value=parse(text))


def decode(body: bytes) -> str:
    """Return the text of *body*.

    Raises:
        Refusal: if it is empty, too large, begins with a byte-order mark or is not UTF-8.
    """
    if len(body) > MOST_BYTES:
        raise Refusal("body-too-large", "Send a document of at most 1 MiB (1,048,576 bytes).")
    if body.startswith(_BYTE_ORDER_MARKS):
        _refuse("byte-order-mark", "Send UTF-8 that begins with the document itself.", Position(1, 1))
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        _refuse_bytes(body, error.start)
    if not text.strip(" \t\r\n"):
        raise Refusal("empty-body", 'Send a JSON document, such as {"changeout": 1}.')
    return text


def parse(text: str) -> object:
    """Return the JSON value that *text* spells.

    Raises:
        Refusal: if it is not JSON as this service takes it, with the line and column.
    """
    if _SURROGATE_ESCAPE.search(text):
        return read_placing(text)
    try:
        value = _DECODER.decode(text)
    except (ValueError, RecursionError):
        return read_placing(text)
    return value if is_bounded(value) else read_placing(text)


def is_bounded(value: object) -> bool:
    """Whether a JSON value has no more values and no more levels than a document may have."""
    try:
        return _counted(value, MOST_LEVELS) <= MOST_VALUES
    except _ReadAgainError:
        return False


def _refuse_bytes(body: bytes, start: int) -> NoReturn:
    before = body[:start].decode("utf-8")
    where = position_at(before, len(before))
    if body[start] == 0xED and body[start + 1 : start + 2] >= b"\xa0":
        _refuse("lone-surrogate", "Write characters beyond the basic plane as four bytes of UTF-8.", where)
    _refuse("not-utf-8", "Send the document as UTF-8.", where)


def _refuse(code: str, detail: str, where: Position) -> NoReturn:
    error = DocumentError(pointer="", code=code, detail=detail, line=where.line, column=where.column)
    raise Refusal(code, detail, (error,))


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        raise _ReadAgainError
    return members


def _integer(text: str) -> int:
    if len(text) >= _DIGITS_OF_LARGEST_DOUBLE and math.isinf(float(text)):
        raise _ReadAgainError
    return int(text)


def _real(text: str) -> float:
    value = real_number(text)
    if value is None:
        raise _ReadAgainError
    return value


def _constant(_name: str) -> NoReturn:
    raise _ReadAgainError


def _counted(value: object, levels: int) -> int:
    """Return how many values *value* is, itself among them.

    Raises:
        _ReadAgainError: if it is nested deeper than so many *levels*.
    """
    if not isinstance(value, dict | list):
        return 1
    if not levels:
        raise _ReadAgainError
    children = value.values() if isinstance(value, dict) else value
    within = (_counted(child, levels - 1) - 1 for child in children if isinstance(child, dict | list))
    return 1 + len(value) + sum(within)


_DECODER: Final = json.JSONDecoder(
    object_pairs_hook=_object, parse_float=_real, parse_int=_integer, parse_constant=_constant
)
