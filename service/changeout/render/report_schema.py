"""The JSON Schema of a report. Every object is closed: a member that is not here is not in a report."""

from __future__ import annotations

from typing import Any, Final

from changeout.domain.findings import Advice, Basis, Outcome, Reviewed

VERDICTS: Final = ("violations", "undetermined", "conforms-with-conditions", "conforms")
"""What a report as a whole says, the most serious first."""

_TEXT: Final = {"type": "string"}
_TEXTS: Final = {"type": "array", "items": _TEXT}
_MAYBE_TEXT: Final = {"type": ["string", "null"]}
_MAYBE_NUMBER: Final = {"type": ["number", "null"]}
_COUNT: Final = {"type": "integer", "minimum": 0}
_POINTER: Final = {"type": "string", "pattern": "^(/.*)?$", "description": "JSON Pointer (RFC 6901) into the proposal."}
_POINTERS: Final = {"type": "array", "items": _POINTER}
_DIGEST: Final = {"type": "string", "pattern": "^sha256:[0-9a-f]{64}$"}


def report_schema() -> dict[str, Any]:
    """Return the schema, JSON Schema 2020-12."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "changeout report",
        **_closed(
            {
                "changeout_report": {"const": 1},
                "decision_id": {
                    **_DIGEST,
                    "description": "Of the proposal, the ruleset and the engine: the same question has the same id.",
                },
                "proposal_digest": {
                    **_DIGEST,
                    "description": "Of what was read, in base units, without reference and annotations (RFC 8785).",
                },
                "verdict": _enum(VERDICTS),
                "verdict_before_waivers": _enum(VERDICTS),
                "headline": _said("The report in one sentence."),
                "conditions": {**_TEXTS, "description": "What must be done before the equipment is energized."},
                "open_at_inspection": {**_COUNT, "description": "How many findings wait for the inspection."},
                "project": _project(),
                "ruleset": _ruleset(),
                "engine": _said("The version of the software."),
                "counts": _closed(dict.fromkeys((*_values(Outcome), "waived"), _COUNT)),
                "findings": {"type": "array", "items": {"$ref": "#/$defs/Finding"}},
                "questions": {"type": "array", "items": {"$ref": "#/$defs/Question"}},
                "calculations": {"type": "array", "items": {"$ref": "#/$defs/Calculation"}},
                "cautions": _TEXTS,
                "defers_to": _said("Who decides: the report is no permit."),
            },
            optional=("questions", "calculations"),
        ),
        "$defs": {
            "Finding": _finding(),
            "Figure": _figure(),
            "Remedy": _remedy(),
            "Question": _question(),
            "Calculation": calculation_schema(),
        },
    }


def _closed(properties: dict[str, Any], optional: tuple[str, ...] = ()) -> dict[str, Any]:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": [name for name in properties if name not in optional],
        "properties": properties,
    }


def _enum(values: tuple[str, ...]) -> dict[str, Any]:
    return {"type": "string", "enum": list(values)}


def _values(names: type[Outcome | Basis | Reviewed]) -> tuple[str, ...]:
    return tuple(name.value for name in names)


def _said(description: str) -> dict[str, Any]:
    return {**_TEXT, "description": description}


def _maybe(schema: dict[str, Any]) -> dict[str, Any]:
    return {"anyOf": [schema, {"type": "null"}]}


def _project() -> dict[str, Any]:
    return _closed(
        {
            "reference": {**_MAYBE_TEXT, "description": "The sender's own, as sent."},
            "annotations": {
                "type": "object",
                "additionalProperties": _TEXT,
                "maxProperties": 20,
                "description": "The sender's own, as sent.",
            },
            "edition": _TEXT,
            "jurisdiction": _MAYBE_TEXT,
            "edition_chosen_by": _said("Why this edition: named, in force on the date, or overridden by the request."),
        },
    )


def _ruleset() -> dict[str, Any]:
    return _closed(
        {
            "edition": _TEXT,
            "digest": _DIGEST,
            "rules": {**_COUNT, "description": "How many rules the edition has."},
            "reviewed": {
                **_closed(dict.fromkeys(_values(Reviewed), _COUNT)),
                "description": "How many of its rows are known in which way.",
            },
            "preview": {"type": "boolean", "description": "True where the edition is not wholly known yet."},
            "jurisdiction": _MAYBE_TEXT,
        },
    )


def _finding() -> dict[str, Any]:
    return _closed(
        {
            "rule": _said("The id of the rule."),
            "title": _TEXT,
            "outcome": _enum(_values(Outcome)),
            "advice": {
                "enum": [*(advice.value for advice in Advice), None],
                "description": "Why an advisory is given.",
            },
            "basis": _enum(_values(Basis)),
            "reviewed": _enum(_values(Reviewed)),
            "waived": _maybe({"type": "object", "description": "The waiver that was applied, as sent."}),
            "subject": {**_POINTER, "description": "The thing judged."},
            "subjects": {**_POINTERS, "description": "The things judged, where one finding speaks for several."},
            "reference": _closed({"edition": _TEXT, "section": _MAYBE_TEXT, "also": _TEXTS, "local": _MAYBE_TEXT}),
            "message": _said("One sentence for a correction letter."),
            "found": _maybe({"$ref": "#/$defs/Figure"}),
            "required": _maybe({"$ref": "#/$defs/Figure"}),
            "inputs": {**_POINTERS, "description": "The members that it rests on."},
            "missing": {**_POINTERS, "description": "The members whose value would settle it."},
            "remedies": {"type": "array", "items": {"$ref": "#/$defs/Remedy"}},
            "settled_by": {
                "type": "array",
                "items": _POINTERS,
                "description": "The smallest sets of missing members that can settle it together, found by trying.",
            },
            "cautions": _TEXTS,
            "calculation": {**_MAYBE_TEXT, "description": "The id of the calculation that its numbers come from."},
        },
        optional=("remedies", "settled_by"),
    )


def _figure() -> dict[str, Any]:
    return _closed(
        {
            "name": _TEXT,
            "relation": {**_MAYBE_TEXT, "description": "How found must stand to required."},
            "value": {**_MAYBE_NUMBER, "description": "Null where low and high differ."},
            "low": _MAYBE_NUMBER,
            "high": {**_MAYBE_NUMBER, "description": "Null where no greatest value is known."},
            "unit": _MAYBE_TEXT,
            "text": {**_MAYBE_TEXT, "description": "For what is no number."},
        },
        optional=("relation", "text"),
    )


def _remedy() -> dict[str, Any]:
    operation = _closed(
        {
            "op": _enum(("add", "remove", "replace", "move", "copy", "test")),
            "path": _POINTER,
            "from": _POINTER,
            "value": {},
        },
        optional=("from", "value"),
    )
    return _closed(
        {
            "text": _TEXT,
            "patch": {
                "type": "array",
                "items": operation,
                "description": "RFC 6902. Empty where no change of the document can show it.",
            },
            "effects": {**_TEXTS, "description": "What else the change would do."},
        },
    )


def _question() -> dict[str, Any]:
    threshold = _closed(
        {
            "relation": _TEXT,
            "value": {"type": "number"},
            "unit": _TEXT,
            "outcome": _enum(_values(Outcome)),
            "rule": _TEXT,
        }
    )
    return _closed(
        {
            "pointer": _POINTER,
            "ask": _TEXT,
            "decides": {**_TEXTS, "description": "The rules that the answer can settle."},
            "rank": {"type": "integer", "minimum": 1},
            "settles": {**_COUNT, "description": "How many findings the answer settles by itself."},
            "threshold": _maybe(threshold),
        }
    )


def calculation_schema() -> dict[str, Any]:
    """Return the schema of one calculation."""
    number = {"value": _MAYBE_NUMBER, "low": _MAYBE_NUMBER, "high": _MAYBE_NUMBER, "unit": _TEXT}
    step = {"symbol": _TEXT, "name": _TEXT, "expression": _TEXT, **number, "source": _TEXT}
    return _closed(
        {
            "id": _TEXT,
            "title": _TEXT,
            "result": _closed(number),
            "results": {"type": "array", "items": _closed({"at": _TEXT, "name": _TEXT, **number})},
            "inputs": _POINTERS,
            "missing": _POINTERS,
            "steps": {"type": "array", "items": _closed(step)},
            "assumptions": _TEXTS,
            "cautions": _TEXTS,
        },
    )
