"""Schemas of the answers that have no published schema of their own.

They are open: members may be added to a readable ruleset without a new revision of the interface.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from changeout.domain.findings import Effect, Reviewed, Stage
from changeout.render.report_schema import calculation_schema

Schema = dict[str, Any]

_TEXT: Final[Schema] = {"type": "string"}
_TEXTS: Final[Schema] = {"type": "array", "items": _TEXT}
_MAYBE_TEXT: Final[Schema] = {"type": ["string", "null"]}
_FLAG: Final[Schema] = {"type": "boolean"}
_COUNT: Final[Schema] = {"type": "integer", "minimum": 0}
_DIGEST: Final[Schema] = {"type": "string", "pattern": "^sha256:[0-9a-f]{64}$"}
_REVIEWED: Final[Schema] = {"type": "string", "enum": [kind.value for kind in Reviewed]}
_EFFECT: Final[Schema] = {"type": "string", "enum": [effect.value for effect in Effect]}
_STAGE: Final[Schema] = {"type": "string", "enum": [stage.value for stage in Stage]}


def _object(required: Mapping[str, Schema], optional: Mapping[str, Schema] | None = None) -> Schema:
    return {"type": "object", "required": list(required), "properties": {**required, **(optional or {})}}


def _list(item: Schema) -> Schema:
    return {"type": "array", "items": item}


def _ref(name: str) -> Schema:
    return {"$ref": f"#/components/schemas/{name}"}


_ROW: Final[Mapping[str, Schema]] = {
    "rule": _TEXT,
    "in_force": _FLAG,
    "effect": _EFFECT,
    "section": _MAYBE_TEXT,
    "also": _TEXTS,
    "reviewed": _REVIEWED,
}
_ROW_DETAILS: Final[Mapping[str, Schema]] = {
    "parameters": {"type": "object", "additionalProperties": _ref("RuleParameter")},
    "source": {**_TEXT, "description": "What the row was taken from."},
    "note": _MAYBE_TEXT,
    "local": {**_MAYBE_TEXT, "description": "The jurisdiction whose amendment touched the row."},
    "local_note": _MAYBE_TEXT,
}
_JURISDICTION: Final[Mapping[str, Schema]] = {
    "id": _TEXT,
    "name": _TEXT,
    "note": _TEXT,
    "adoptions": _list(_object({"edition": _TEXT, "from": {"type": "string", "format": "date"}})),
    "digest": _DIGEST,
}

ANSWER_SCHEMAS: Final[Mapping[str, Schema]] = {
    "CalculationAnswer": _object({"edition": _TEXT, "ruleset": _DIGEST, **calculation_schema()["properties"]}),
    "Editions": _object({"editions": _TEXTS}),
    "Ruleset": _object(
        {
            "edition": _TEXT,
            "code": {**_TEXT, "description": "The code's name and year."},
            "preview": {**_FLAG, "description": "True where the edition is not wholly known yet."},
            "note": _TEXT,
            "digest": _DIGEST,
            "rules": _COUNT,
            "reviewed": {"type": "object", "additionalProperties": _COUNT},
            "entries": _list(_object({**_ROW, "group": _TEXT, "title": _TEXT})),
        }
    ),
    "Rule": _object(
        {
            **_ROW,
            **_ROW_DETAILS,
            "edition": _TEXT,
            "group": _TEXT,
            "title": {**_TEXT, "description": "What should hold."},
            "because": _TEXT,
            "applies_to": _TEXT,
            "passes": _TEXT,
            "fails": _TEXT,
            "cannot_tell": _TEXT,
            "not_covered": _MAYBE_TEXT,
            "needs": {**_TEXTS, "description": "Pointers of the members that it reads."},
            "about": {**_TEXT, "description": "Pointer of the thing judged."},
            "stage": {**_STAGE, "description": "What a missing fact means: open at intake, or seen at inspection."},
            "first_in_force": {**_MAYBE_TEXT, "description": "The oldest edition here in which it is in force."},
            "examples": _list({"type": "object"}),
        }
    ),
    "RuleParameter": _object({"value": {}, "unit": _MAYBE_TEXT, "source": _MAYBE_TEXT, "local": _MAYBE_TEXT}),
    "RuleRow": _object({**_ROW, **_ROW_DETAILS}),
    "Changes": _object(
        {
            "since": _TEXT,
            "edition": _TEXT,
            "count": _COUNT,
            "entries": _list(
                _object(
                    {
                        "rule": _TEXT,
                        "title": _TEXT,
                        "changes": _list(
                            {"type": "string", "enum": ["new", "gone", "effect", "renumbered", "parameter"]}
                        ),
                        "text": _TEXT,
                        "from": {"anyOf": [_ref("RuleRow"), {"type": "null"}]},
                        "to": _ref("RuleRow"),
                        "source": _TEXT,
                        "reviewed": _REVIEWED,
                    }
                )
            ),
        }
    ),
    "Jurisdictions": _object({"jurisdictions": _list(_object(_JURISDICTION))}),
    "Jurisdiction": _object(_JURISDICTION),
    "Examples": _object({"examples": _TEXTS}),
    "JsonSchema": _object({"$schema": {"const": "https://json-schema.org/draft/2020-12/schema"}}),
    "OpenApi": _object({"openapi": _TEXT, "info": {"type": "object"}, "paths": {"type": "object"}}),
    "State": _object(
        {"status": {"type": "string", "enum": ["live", "ready"]}}, {"editions": _TEXTS, "ruleset": _DIGEST}
    ),
}
