"""Changing the text of a JSON document and leaving the rest of it as it is written."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, Final

from changeout.application.what_if import patched
from changeout.domain.problems import DocumentError, Refusal
from changeout.intake.placing import Position, place
from changeout.intake.pointers import join, split
from changeout.intake.reader import parse

_DECODER: Final = json.JSONDecoder()
_Operation = Mapping[str, Any]


def one_kind_of_line_break(text: str) -> str:
    """Return *text* with every line ended by a line feed alone, as a form on a page sends none of them."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def laid_out(document: object) -> str:
    """Return a JSON document as text, a member a line, two spaces a level, in its own order."""
    return json.dumps(document, indent=2, ensure_ascii=False)


def setting(document: object, pointer: str, value: object) -> dict[str, Any]:
    """Return the operation that gives the member at *pointer* a value, with the objects around it where they lack.

    Raises:
        Refusal: if it lies in an entry of a list that is not there, or in what is no object.
    """
    at, here = "", document
    tokens = split(pointer)
    for place_, token in enumerate(tokens):
        child = _child(here, token, pointer)
        at = join(at, token)
        if child is None or place_ == len(tokens) - 1:
            for name in reversed(tokens[place_ + 1 :]):
                value = {name: value}
            is_there = isinstance(here, list) or (isinstance(here, dict) and token in here)
            return {"op": "replace" if is_there else "add", "path": at, "value": value}
        here = child
    return {"op": "replace", "path": "", "value": value}


def _child(here: object, token: str, pointer: str) -> object:
    if isinstance(here, dict):
        return here.get(token)
    if isinstance(here, list) and token.isdecimal() and int(token) < len(here):
        return here[int(token)]
    detail = "The document has no place for this member."
    raise Refusal("unreadable-request", detail, (DocumentError(pointer=pointer, code="bad-patch", detail=detail),))


def edited(text: str, patch: Sequence[_Operation]) -> str:
    """Return a JSON text with an RFC 6902 patch applied.

    Members that are set are written where they belong, everything else stays as it stands. What cannot be written so
    (moves, entries of lists) lays the whole document out anew.

    Raises:
        Refusal: if the text is no JSON, or the patch is not in order or does not fit.
    """
    value = parse(text)
    if not isinstance(value, dict):
        raise Refusal("unreadable-request", "Only an object can be changed.")
    changed = patched(value, list(patch), "")
    kept: str | None = text
    for operation in patch:
        kept = _written(kept, operation) if kept is not None else None
    if kept is not None and json.dumps(parse(kept)) == json.dumps(changed):
        return kept
    return laid_out(changed)


def _written(text: str, operation: _Operation) -> str | None:
    """Return the text with one member set, or None where that takes more than writing one value."""
    path, value = operation.get("path"), json.dumps(operation.get("value"), ensure_ascii=False)
    if operation.get("op") not in ("add", "replace") or not isinstance(path, str) or not path.startswith("/"):
        return None
    *around, name = split(path)
    parent = join("", *around)
    places = place(text)
    holder: object = parse(text)
    for token in around:
        holder = _child(holder, token, path)
    if isinstance(holder, dict) and name not in holder:
        start = _offset(text, places.of_value(parent))
        first = next(iter(holder), None)
        key = _offset(text, places.of_key(join(parent, first))) if first is not None else None
        return _added(text, start, key, f"{json.dumps(name, ensure_ascii=False)}: {value}")
    if isinstance(holder, list) and operation["op"] == "add":
        return None
    start = _offset(text, places.of_value(path))
    end = _DECODER.raw_decode(text, start)[1]
    return f"{text[:start]}{value}{text[end:]}"


def _added(text: str, start: int, key: int | None, member: str) -> str:
    """Return the text with a member written last into the object that begins at *start*."""
    close = _DECODER.raw_decode(text, start)[1] - 1
    if key is None:
        return f"{text[:start]}{{ {member} }}{text[close + 1 :]}"
    last = start + len(text[start:close].rstrip())
    indent = text[text.rfind("\n", 0, key) + 1 : key]
    is_alone = not indent.strip(" \t") and "\n" in text[start:key]
    return f"{text[:last]},{chr(10) + indent if is_alone else ' '}{member}{text[last:]}"


def _offset(text: str, where: Position) -> int:
    start = 0
    for _ in range(where.line - 1):
        start = text.index("\n", start) + 1
    return start + where.column - 1
