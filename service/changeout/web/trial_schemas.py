"""Schemas of what-if, comparison and decision-diff: what they take and what they answer. Every object is closed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from changeout.application.compare import MOST_SIDES
from changeout.application.decisions import MOST_DECISIONS, MOST_NAME, MOST_TEXT
from changeout.application.what_if import MOST_OPERATIONS, MOST_VALUES
from changeout.domain.findings import Outcome, Reviewed
from changeout.domain.problems import ERRORS, PROBLEMS
from changeout.domain.vocabulary import EDITIONS
from changeout.intake.pointers import LONGEST
from changeout.render.documents.decisions import ACTIONS
from changeout.render.report_schema import VERDICTS

Schema = dict[str, Any]

_TEXT: Final[Schema] = {"type": "string"}
_MAYBE_TEXT: Final[Schema] = {"type": ["string", "null"]}
_FLAG: Final[Schema] = {"type": "boolean"}
_COUNT: Final[Schema] = {"type": "integer", "minimum": 0}
_POINTER: Final[Schema] = {"type": "string", "pattern": "^(/[\\s\\S]*)?$", "description": "JSON Pointer (RFC 6901)."}
_DIGEST: Final[Schema] = {"type": "string", "pattern": "^sha256:[0-9a-f]{64}$"}
_VERDICT: Final[Schema] = {"type": "string", "enum": list(VERDICTS)}
_OUTCOMES: Final = [outcome.value for outcome in Outcome]
_OUTCOME: Final[Schema] = {"type": "string", "enum": _OUTCOMES}
_MAYBE_OUTCOME: Final[Schema] = {
    "type": ["string", "null"],
    "enum": [*_OUTCOMES, None],
    "description": "Null where it is not judged at all.",
}
_MAYBE_EDITION: Final[Schema] = {
    "type": ["string", "null"],
    "enum": [*EDITIONS, None],
    "description": "The edition to use instead of the one that the proposal names or leads to.",
}
_PROPOSAL: Final[Schema] = {"$ref": "#/components/schemas/Proposal"}


def _closed(required: Mapping[str, Schema], optional: Mapping[str, Schema] | None = None) -> Schema:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": list(required),
        "properties": {**required, **(optional or {})},
    }


def _list(item: Schema) -> Schema:
    return {"type": "array", "items": item}


_COUNTS: Final = _closed(dict.fromkeys((*_OUTCOMES, "waived"), _COUNT))
_HEAD: Final[Mapping[str, Schema]] = {"verdict": _VERDICT, "headline": _TEXT}
_MOVE: Final = _closed(
    {"rule": _TEXT, "subject": _POINTER, "before": _MAYBE_OUTCOME, "after": _MAYBE_OUTCOME, "message": _TEXT}
)


def _operation(names: list[str], **needed: Schema) -> Schema:
    return {
        "type": "object",
        "required": ["op", "path", *needed],
        "properties": {"op": {"type": "string", "enum": names}, "path": _POINTER, **needed},
    }


_OPERATION: Final[Schema] = {
    "anyOf": [
        _operation(["add", "replace", "test"], value={}),
        _operation(["remove"]),
        _operation(["move", "copy"], **{"from": _POINTER}),
    ],
    "description": "An operation of RFC 6902; members that it does not know are passed over.",
}
_PATCH: Final[Schema] = {"type": "array", "minItems": 1, "maxItems": MOST_OPERATIONS, "items": _OPERATION}
_SWEEP: Final = _closed(
    {
        "pointer": {**_POINTER, "maxLength": LONGEST},
        "values": {"type": "array", "minItems": 1, "maxItems": MOST_VALUES, "items": {}},
    }
)
_NOTHING: Final[Schema] = {"type": "null"}
_UNREADABLE: Final = _list(
    _closed({"pointer": _TEXT, "code": {"type": "string", "enum": [*ERRORS, *PROBLEMS]}, "detail": _TEXT})
)
_SIDE_OF_DIFF: Final = _closed(
    {"decision_id": _DIGEST, "proposal_digest": _DIGEST, "reference": _MAYBE_TEXT, "edition": _TEXT, **_HEAD}
)


_DECISIONS: Final[Schema] = {
    "type": ["array", "null"],
    "maxItems": MOST_DECISIONS,
    "items": _closed(
        {
            "rule": {**_TEXT, "description": "A rule with a finding that is neither satisfied nor not applicable."},
            "action": {
                "type": "string",
                "enum": list(ACTIONS),
                "description": (
                    "keep asks for it, a waived violation too; drop asks for nothing and lists it with its reason "
                    "under Set aside; defer leaves it to the inspection; note leaves it where it is, with the text."
                ),
            },
        },
        {
            "subject": {**_MAYBE_TEXT, "description": "The finding's subject; null for all findings of the rule."},
            "text": {
                "type": ["string", "null"],
                "minLength": 1,
                "maxLength": MOST_TEXT,
                "description": "The reason or the note; drop and note need it.",
            },
            "by": {
                "type": ["string", "null"],
                "minLength": 1,
                "maxLength": MOST_NAME,
                "description": "Who decided; null for whoever signs the letter.",
            },
        },
    ),
    "description": "What the reviewer decided, for a correction letter only; what nobody decided on is kept.",
}


def _names(what: str) -> Schema:
    return {"type": ["array", "null"], "minItems": 1, "maxItems": MOST_SIDES, "items": _TEXT, "description": what}


TRIAL_SCHEMAS: Final[Mapping[str, Schema]] = {
    "WhatIfRequest": {
        **_closed(
            {"proposal": _PROPOSAL},
            {"edition": _MAYBE_EDITION, "patch": {"anyOf": [_PATCH, _NOTHING]}, "sweep": {"anyOf": [_SWEEP, _NOTHING]}},
        ),
        "oneOf": [
            {"required": ["patch"], "properties": {"patch": {"type": "array"}, "sweep": _NOTHING}},
            {"required": ["sweep"], "properties": {"sweep": {"type": "object"}, "patch": _NOTHING}},
        ],
    },
    "WhatIf": _closed(
        {
            "changeout_what_if": {"const": 1},
            "edition": _TEXT,
            "base": _closed({**_HEAD, "counts": _COUNTS}),
            "variants": _list(
                _closed(
                    {},
                    {
                        "patch": _PATCH,
                        "value": {"description": "The value of a sweep."},
                        **_HEAD,
                        "counts": _COUNTS,
                        "moved": _list(_MOVE),
                        "unreadable": {**_UNREADABLE, "description": "Why the variant is no proposal any more."},
                    },
                )
            ),
        }
    ),
    "ComparisonRequest": _closed(
        {"proposal": _PROPOSAL},
        {"editions": _names("Names of editions."), "jurisdictions": _names("Ids of jurisdictions.")},
    ),
    "Comparison": _closed(
        {
            "changeout_comparison": {"const": 1},
            "reference": _MAYBE_TEXT,
            "applied_on": {"type": ["string", "null"], "format": "date"},
            "sides": _list(
                _closed(
                    {
                        "label": {**_TEXT, "description": "What answers and changes call this side."},
                        "edition": _TEXT,
                        "jurisdiction": _MAYBE_TEXT,
                        "preview": {**_FLAG, "description": "True where the edition is not wholly known yet."},
                        "digest": _DIGEST,
                        "decision_id": _DIGEST,
                        **_HEAD,
                        "counts": _COUNTS,
                    }
                )
            ),
            "differences": _list(
                _closed(
                    {
                        "rule": _TEXT,
                        "title": _TEXT,
                        "outcome_differs": {
                            **_FLAG,
                            "description": "False where only the section or the value required is another.",
                        },
                        "answers": {
                            "type": "object",
                            "additionalProperties": {
                                "anyOf": [{"$ref": "#/components/schemas/ReportFinding"}, _NOTHING]
                            },
                            "description": "The gravest finding on each side, by label; null where the rule is none.",
                        },
                        "changes": _list(
                            _closed(
                                {
                                    "from": _TEXT,
                                    "to": _TEXT,
                                    "kinds": _list(_TEXT),
                                    "text": _TEXT,
                                    "source": {**_TEXT, "description": "What the later row was taken from."},
                                    "reviewed": {"type": "string", "enum": [kind.value for kind in Reviewed]},
                                }
                            )
                        ),
                    }
                )
            ),
            "cautions": _list(_TEXT),
            "defers_to": _TEXT,
        }
    ),
    "DocumentRequest": {
        "anyOf": [
            _PROPOSAL,
            _closed({"proposal": _PROPOSAL}, {"edition": _MAYBE_EDITION, "decisions": _DECISIONS}),
        ]
    },
    "DecisionDiffRequest": _closed({"old": _PROPOSAL, "new": _PROPOSAL}, {"edition": _MAYBE_EDITION}),
    "DecisionDiff": _closed(
        {
            "changeout_decision_diff": {"const": 1},
            "old": _SIDE_OF_DIFF,
            "new": _SIDE_OF_DIFF,
            "same_ruleset": _FLAG,
            "fixed": _list(_MOVE),
            "new_findings": _list(_MOVE),
            "other_moves": _list(_MOVE),
            "still_open": _list(_closed({"rule": _TEXT, "subject": _POINTER, "outcome": _OUTCOME, "message": _TEXT})),
            "changed_members": _list(
                _closed(
                    {
                        "pointer": _POINTER,
                        "old": {"description": "In base units; null where it was not stated."},
                        "new": {"description": "In base units; null where it is not stated any more."},
                        "silent": {**_FLAG, "description": "True where no open finding asked for the change."},
                    }
                )
            ),
        }
    ),
}
