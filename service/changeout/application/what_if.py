"""What would be found if the proposal were another: after a patch, or over the values of one member."""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from typing import Any, Final

import jsonpatch
import jsonpointer

from changeout.application.requests import Part, read_request
from changeout.application.service import Service
from changeout.domain.findings import Report
from changeout.domain.problems import DocumentError, Refusal
from changeout.intake.placing import MOST_LEVELS
from changeout.intake.placing import MOST_VALUES as MOST_DOCUMENT_VALUES
from changeout.intake.pointers import LONGEST
from changeout.intake.read import read_value
from changeout.intake.reader import MOST_BYTES, is_bounded
from changeout.review.moves import Move, moves

MOST_VALUES: Final = 50
"""How many values a sweep may have."""

MOST_OPERATIONS: Final = 50
"""How many operations a patch may have."""

_OPERATIONS: Final = ("add", "remove", "replace", "move", "copy", "test")


def what_if(service: Service, body: bytes) -> dict[str, Any]:
    """Return the verdict on a proposal as it is, and on it with a patch applied or with one member swept over values.

    Raises:
        Refusal: if the request, the proposal or a changed proposal cannot be read.
    """
    request = read_request(
        body,
        Part("proposal", dict, required=True),
        Part("edition", str),
        Part("patch", list, most=MOST_OPERATIONS),
        Part("sweep", dict),
    )
    document, edition = request.value["proposal"], request.edition(service.editions())
    if ("patch" in request.value) == ("sweep" in request.value):
        raise Refusal("unreadable-request", "Give either a patch or a sweep.")
    base = service.report_on(
        request.proposal("proposal", edition_chosen=edition is not None), edition=edition, detail="findings"
    )
    variants = _variants(document, request.value)
    return {
        "changeout_what_if": 1,
        "edition": base.ruleset.edition,
        "base": _side(base),
        "variants": [
            {**told, **_variant(service, changed, base, edition, pointer)} for told, changed, pointer in variants
        ],
    }


def _variants(document: Mapping[str, Any], request: Mapping[str, Any]) -> list[tuple[dict[str, Any], Any, str]]:
    if "patch" in request:
        return [({"patch": request["patch"]}, patched(document, request["patch"], "/patch"), "/patch")]
    sweep = request["sweep"]
    pointer, values = sweep.get("pointer"), sweep.get("values")
    if set(sweep) != {"pointer", "values"} or not isinstance(pointer, str) or not isinstance(values, list):
        raise _refusal("/sweep", "wrong-type", "A sweep has a pointer and a list of values.")
    if len(pointer) > LONGEST:
        raise _refusal("/sweep/pointer", "bad-text", f"A pointer has at most {LONGEST} characters.")
    if not 1 <= len(values) <= MOST_VALUES:
        raise _refusal("/sweep/values", "too-many", f"A sweep has 1 to {MOST_VALUES} values.")
    return [
        (
            {"value": value},
            patched(document, [setting(document, pointer, value)], "/sweep/pointer"),
            f"/sweep/values/{i}",
        )
        for i, value in enumerate(values)
    ]


def setting(document: Mapping[str, Any], pointer: str, value: object) -> dict[str, Any]:
    """Return the operation that gives the member at *pointer* this value, whether it is there already or not."""
    try:
        found = jsonpointer.resolve_pointer(document, pointer)
    except jsonpointer.JsonPointerException:
        return {"op": "add", "path": pointer, "value": value}
    # To add at an element of an array would be to insert before it; beyond its end there is nothing to replace.
    op = "add" if isinstance(found, jsonpointer.EndOfList) else "replace"
    return {"op": op, "path": pointer, "value": value}


def patched(document: Mapping[str, Any], patch: list[Any], at: str) -> Any:  # noqa: ANN401 - any JSON value
    """Return a JSON document with an RFC 6902 patch applied to a copy.

    Raises:
        Refusal: if the patch is not in order or does not fit the document; *at* is its pointer in the request.
    """
    changed: Any = copy.deepcopy(dict(document))
    operation: Any = None
    try:
        for operation in copy.deepcopy(patch):
            changed = jsonpatch.apply_patch(changed, [operation], in_place=True)
            _check_size(changed, at)
    except (
        jsonpatch.JsonPatchException,
        jsonpointer.JsonPointerException,
        TypeError,
        KeyError,
        ValueError,
        AttributeError,
    ) as problem:
        raise _refusal(at, "bad-patch", f"The patch cannot be applied: {_why(operation, problem)}.") from None
    return changed


def _why(operation: object, problem: Exception) -> str:
    """Return why an operation cannot be applied, without what the document holds there."""
    path = operation.get("path") if isinstance(operation, dict) else None
    name = operation.get("op") if isinstance(operation, dict) else None
    if not isinstance(path, str) or name not in _OPERATIONS:
        return f"each operation has an op ({', '.join(_OPERATIONS)}) and a path, such as /panelboard/busbar_rating"
    if len(path) > LONGEST:
        return f"the path of its {name} has more than {LONGEST} characters"
    if isinstance(problem, jsonpatch.JsonPatchTestFailed):
        return f"the test of {path} failed"
    if isinstance(problem, jsonpatch.InvalidJsonPatch):
        return f"{name} at {path} lacks its value or its from"
    return f"{name} at {path}: there is no such place in the proposal"


def _check_size(document: object, at: str) -> None:
    # An operation that copies a value into itself can double the document, so that fifty would fill any memory.
    if not is_bounded(document) or len(json.dumps(document)) > MOST_BYTES:
        most = f"{MOST_BYTES:,} bytes, {MOST_DOCUMENT_VALUES:,} values or {MOST_LEVELS} levels"
        raise _refusal(at, "bad-patch", f"The patched document would have more than {most}.")


def _variant(service: Service, changed: object, base: Report, edition: str | None, at: str) -> dict[str, Any]:
    try:
        read = read_value(changed, edition_chosen=edition is not None)
        report = service.report_on(read, edition=edition, detail="findings")
    except Refusal as refusal:
        return {
            "unreadable": [{"pointer": e.pointer, "code": e.code, "detail": e.detail} for e in refusal.errors]
            or [{"pointer": at, "code": refusal.problem.code, "detail": refusal.detail}]
        }
    return {**_side(report), "moved": [move_object(m) for m in moves(base.findings, report.findings)]}


def _side(report: Report) -> dict[str, Any]:
    return {"verdict": report.verdict, "headline": report.headline, "counts": dict(report.counts)}


def move_object(move: Move) -> dict[str, Any]:
    """Return a move as JSON-ready values."""
    return {
        "rule": move.rule,
        "subject": move.subject,
        "before": move.before.value if move.before else None,
        "after": move.after.value if move.after else None,
        "message": move.message,
    }


def _refusal(pointer: str, code: str, detail: str) -> Refusal:
    return Refusal("unreadable-request", detail, (DocumentError(pointer=pointer, code=code, detail=detail),))
