"""A refusal as a problem document (RFC 9457), and the schema of one."""

from __future__ import annotations

from typing import Any, Final

from changeout.domain.problems import ERRORS, PROBLEMS, DocumentError, ProblemCode, Refusal

PROBLEM_PAGE: Final = "/docs/problems"
"""Where each problem is explained; a problem's type is this with its code as fragment."""


def problem_type(problem: ProblemCode) -> str:
    """Return the URI reference that identifies the kind of problem, relative to the service's root."""
    return f"{PROBLEM_PAGE}#{problem.code}"


def problem_object(refusal: Refusal) -> dict[str, Any]:
    """Return the problem document of a refusal, members in the order in which they are written.

    Pointers are plain JSON Pointers (RFC 6901), not URI fragments.
    """
    problem: dict[str, Any] = {
        "type": problem_type(refusal.problem),
        "title": refusal.problem.title,
        "status": refusal.problem.status,
        "detail": refusal.detail,
        "code": refusal.problem.code,
    }
    if refusal.errors:
        problem["errors"] = [_error_object(error) for error in refusal.errors]
    return problem


def _error_object(error: DocumentError) -> dict[str, Any]:
    written: dict[str, Any] = {
        "pointer": error.pointer,
        "code": error.code,
        "detail": error.detail,
        "line": error.line,
        "column": error.column,
    }
    if error.suggestion is not None:
        written["suggestion"] = error.suggestion
    if error.also:
        written["also"] = list(error.also)
    return written


def problem_schema() -> dict[str, Any]:
    """Return the JSON Schema of a problem document."""
    place = {"type": ["integer", "null"], "minimum": 1}
    error = {
        "type": "object",
        "additionalProperties": False,
        "required": ["pointer", "code", "detail", "line", "column"],
        "properties": {
            "pointer": {"type": "string", "description": "JSON Pointer (RFC 6901) of what is wrong."},
            "code": {"type": "string", "enum": [*ERRORS, *PROBLEMS]},
            "detail": {"type": "string", "description": "What was expected there, in one sentence."},
            "line": {**place, "description": "Counted from 1; null where the place is not in the text."},
            "column": {**place, "description": "Counted from 1, in characters."},
            "suggestion": {"type": "string", "description": "What the value may have been meant to be."},
            "also": {
                "type": "array",
                "items": {"type": "string"},
                "description": "Pointers of the other members that take part in it.",
            },
        },
    }
    return {
        "type": "object",
        "description": "Why a request was refused (RFC 9457).",
        "additionalProperties": False,
        "required": ["type", "title", "status", "detail", "code"],
        "properties": {
            "type": {"type": "string", "format": "uri-reference"},
            "title": {"type": "string", "description": "The same for every problem of this type."},
            "status": {"type": "integer", "enum": sorted({problem.status for problem in PROBLEMS.values()})},
            "detail": {"type": "string", "description": "What this caller can do about it."},
            "code": {"type": "string", "enum": list(PROBLEMS)},
            "errors": {"type": "array", "maxItems": 100, "items": error},
        },
    }
