"""The JSON reader that knows where everything stands. Slower than the standard library's; used to place errors."""

from __future__ import annotations

import bisect
import json
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from changeout.domain.problems import DocumentError, Refusal
from changeout.intake.pointers import join, split, within_reason

MOST_LEVELS: Final = 32
"""How deep objects and arrays may be nested."""

MOST_VALUES: Final = 20_000
"""How many values a document may hold, objects and arrays among them."""

_SPACE: Final = re.compile(r"[ \t\n\r]*")
_NUMBER: Final = re.compile(r"-?(?:0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?")
_STRING: Final = re.compile(r'"[^"\\\x00-\x1f]*+(?:\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})[^"\\\x00-\x1f]*+)*+')
_LITERALS: Final = (("true", True), ("false", False), ("null", None))
_NOT_NUMBERS: Final = ("NaN", "Infinity", "-Infinity")
_SURROGATE: Final = re.compile("[\ud800-\udfff]")
_LINE_BREAK: Final = re.compile(r"\r\n|\n|\r")
_NOT_ZERO: Final = re.compile(r"-?[0.]*[1-9]")


class Position(NamedTuple):
    """A place in a text, both counted from 1; the column in characters."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class _Container:
    """An object's or array's offset, what it holds, and of an object the offsets of its keys."""

    at: int
    children: Mapping[str, _Node] | Sequence[_Node]
    keys: Mapping[str, int]


_Node = int | _Container
"""Where a value stands; of a plain value the offset alone."""


class Places:
    """Where the values and keys of one text stand, by JSON Pointer."""

    def __init__(self, text: str, root: _Node) -> None:
        """Keep the tree of offsets, and where the lines begin."""
        self._root = root
        self._lines = _line_starts(text)

    def of_value(self, pointer: str) -> Position:
        """Return where the value begins, or the innermost value around it where there is none."""
        node, _key = self._walk(pointer)
        return _position(self._lines, node if isinstance(node, int) else node.at)

    def of_key(self, pointer: str) -> Position:
        """Return where the key of the member begins, or its value where it has no key."""
        _node, key = self._walk(pointer)
        return self.of_value(pointer) if key is None else _position(self._lines, key)

    def _walk(self, pointer: str) -> tuple[_Node, int | None]:
        node, key = self._root, None
        for token in split(pointer):
            if isinstance(node, int):
                return node, None
            children = node.children
            if isinstance(children, Mapping):
                child = children.get(token)
            else:
                child = children[int(token)] if token.isdecimal() and int(token) < len(children) else None
            if child is None:
                return node, None
            key = node.keys.get(token)
            node = child
        return node, key


def place(text: str) -> Places:
    """Return where everything in *text* stands.

    Raises:
        Refusal: if it is not JSON as this service takes it.
    """
    return Places(text, _read(text)[1])


def read_placing(text: str) -> object:
    """Return the value that *text* spells.

    Raises:
        Refusal: if it is not JSON as this service takes it, with the line and column.
    """
    return _read(text)[0]


def position_at(text: str, offset: int) -> Position:
    """Return the line and column of the character at *offset*."""
    return _position(_line_starts(text), offset)


def real_number(text: str) -> float | None:
    """Return the double that a JSON number spells, None where it is beyond the range of doubles at either end."""
    value = float(text)
    if math.isinf(value) or (value == 0.0 and _NOT_ZERO.match(text)):
        return None
    return value


def _line_starts(text: str) -> list[int]:
    return [0, *(found.end() for found in _LINE_BREAK.finditer(text))]


def _position(lines: list[int], offset: int) -> Position:
    line = bisect.bisect_right(lines, offset)
    return Position(line, offset - lines[line - 1] + 1)


def _read(text: str) -> tuple[object, _Node]:
    scan = _Scan(text)
    value, node, end = scan.value(scan.skip(0))
    end = scan.skip(end)
    if end != len(text):
        raise scan.malformed(end, "The document ends here; nothing may follow it.")
    return value, node


class _Scan:
    """One reading of one text. What reads something returns the offset after it."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._path: list[str | int] = []
        self._values = 0

    def skip(self, at: int) -> int:
        """Return the offset of what comes next after white space."""
        if self._text[at : at + 1] > " ":
            return at
        found = _SPACE.match(self._text, at)
        return found.end() if found else at

    def value(self, at: int) -> tuple[object, _Node, int]:
        """Read the value at *at*."""
        self._values += 1
        if self._values > MOST_VALUES:
            raise self._refusal("too-many-values", at, f"A document may hold {MOST_VALUES:,} values.")
        first = self._text[at : at + 1]
        if first == '"':
            text, end = self._string(at)
            return text, at, end
        if first in ("{", "["):
            if len(self._path) == MOST_LEVELS:
                raise self._refusal("nesting-too-deep", at, "Nest objects and arrays at most 32 levels deep.")
            return self._object(at) if first == "{" else self._array(at)
        found = _NUMBER.match(self._text, at)
        return self._number(at, found) if found else self._literal(at)

    def malformed(self, at: int, detail: str) -> Refusal:
        """Return the refusal of what breaks the grammar at *at*."""
        return self._refusal("malformed-json", at, detail)

    def _refusal(self, code: str, at: int, detail: str) -> Refusal:
        where = position_at(self._text, at)
        pointer = within_reason(join("", *self._path))
        error = DocumentError(pointer=pointer, code=code, detail=detail, line=where.line, column=where.column)
        return Refusal(code, f"Line {where.line}, column {where.column}: {detail}", (error,))

    def _literal(self, at: int) -> tuple[object, _Node, int]:
        for word, meaning in _LITERALS:
            if self._text.startswith(word, at):
                return meaning, at, at + len(word)
        if self._text.startswith(_NOT_NUMBERS, at):
            raise self._refusal(
                "not-a-number", at, "JSON has no NaN and no Infinity; leave the member out if it is unknown."
            )
        raise self.malformed(at, "A JSON value is expected here: an object, array, text, number, true, false or null.")

    def _number(self, at: int, found: re.Match[str]) -> tuple[object, _Node, int]:
        value = real_number(found[0])
        if value is None:
            raise self._refusal(
                "number-out-of-range", at, "A number that an IEEE 754 double can hold is expected here."
            )
        whole = found[1] is None and found[2] is None
        return int(found[0]) if whole else value, at, found.end()

    def _string(self, at: int) -> tuple[str, int]:
        found = _STRING.match(self._text, at)
        if found is None:
            raise self.malformed(at, 'A member name in double quotes is expected here, such as "project".')
        end = found.end()
        if self._text[end : end + 1] != '"':
            raise self.malformed(
                end, "A text ends with a double quote; control characters and backslashes are escaped."
            )
        inner = self._text[at + 1 : end]
        text = str(json.loads(f'"{inner}"')) if "\\" in inner else inner
        if _SURROGATE.search(text):
            raise self._refusal(
                "lone-surrogate", at, "Both halves of a surrogate pair are expected in this text, or neither."
            )
        return text, end + 1

    def _array(self, at: int) -> tuple[object, _Node, int]:
        values: list[object] = []
        nodes: list[_Node] = []
        end = self.skip(at + 1)
        while self._text[end : end + 1] != "]" or values:
            self._path.append(len(values))
            value, node, end = self.value(end)
            self._path.pop()
            values.append(value)
            nodes.append(node)
            end = self.skip(end)
            if self._text[end : end + 1] == "]":
                break
            end = self._comma(end, "]")
        return values, _Container(at, nodes, {}), end + 1

    def _object(self, at: int) -> tuple[object, _Node, int]:
        values: dict[str, object] = {}
        nodes: dict[str, _Node] = {}
        keys: dict[str, int] = {}
        end = self.skip(at + 1)
        while self._text[end : end + 1] != "}" or values:
            key, after = self._string(end)
            self._path.append(key)
            if key in keys:
                raise self._refusal(
                    "duplicate-key", end, "This object already has a member of this name; name it once."
                )
            keys[key] = end
            values[key], nodes[key], end = self.value(self._colon(after))
            self._path.pop()
            end = self.skip(end)
            if self._text[end : end + 1] == "}":
                break
            end = self._comma(end, "}")
        return values, _Container(at, nodes, keys), end + 1

    def _colon(self, at: int) -> int:
        at = self.skip(at)
        if self._text[at : at + 1] != ":":
            raise self.malformed(at, "A colon is expected here, between a member's name and its value.")
        return self.skip(at + 1)

    def _comma(self, at: int, closing: str) -> int:
        if self._text[at : at + 1] != ",":
            raise self.malformed(at, f"A comma or {closing} is expected here.")
        return self.skip(at + 1)
