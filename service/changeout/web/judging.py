"""Operations that take a proposal: judging it, comparing, trying changes, calculating."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final

from changeout.application.calculations import CALCULATIONS
from changeout.application.documents import DOCUMENTS, FORMS
from changeout.application.reports import REPORT_FORMS
from changeout.application.service import DETAILS, Service
from changeout.web import views
from changeout.web.batch import NDJSON
from changeout.web.call import JSON
from changeout.web.operation import Body, Operation, Parameter, Produces, editions_of, json_form

_EDITION_INSTEAD: Final = Parameter(
    name="edition",
    place="query",
    description="The edition to use instead of the one that the proposal names or leads to.",
    values=editions_of,
    required=False,
)
_DETAIL: Final = Parameter(
    name="detail",
    place="query",
    description="findings leaves out remedies, questions and calculations; full, the default, has all.",
    values=lambda _: DETAILS,
    required=False,
)
_JSON_PROBLEMS: Final = (
    "malformed-json",
    "duplicate-key",
    "not-a-number",
    "number-out-of-range",
    "lone-surrogate",
    "byte-order-mark",
    "not-utf-8",
    "nesting-too-deep",
    "too-many-values",
    "empty-body",
    "body-truncated",
    "body-too-large",
    "unsupported-media-type",
    "unreadable-proposal",
    "overloaded",
)
_REQUEST_PROBLEMS: Final = (*_JSON_PROBLEMS, "unreadable-request")


def _proposals(service: Service) -> Mapping[str, Any]:
    return {name: {"$ref": f"#/components/examples/{name}"} for name in service.examples()}


def _lines(service: Service) -> Mapping[str, Any]:
    written = [json.dumps(json.loads(service.example(name)), separators=(",", ":")) for name in service.examples()[:2]]
    return {"two-proposals": {"value": "\n".join(written) + "\n"}}


def _an_example(service: Service) -> Any:  # noqa: ANN401 - any JSON value
    return json.loads(service.example("dwelling-service"))


def _letters(service: Service) -> Mapping[str, Any]:
    return {**_proposals(service), "with-edition": {"value": {"proposal": _an_example(service), "edition": "2020"}}}


def _trials(service: Service) -> Mapping[str, Any]:
    proposal = _an_example(service)
    patch = [{"op": "replace", "path": "/panelboard/short_circuit_rating", "value": "22 kA"}]
    sweep = {"pointer": "/supply/source/impedance_percent", "values": [1.5, 2.0, 2.5, 3.0]}
    return {
        "patch": {"value": {"proposal": proposal, "patch": patch}},
        "sweep": {"value": {"proposal": proposal, "edition": "2023", "sweep": sweep}},
    }


def _comparisons(service: Service) -> Mapping[str, Any]:
    return {
        "all-editions": {"value": {"proposal": _an_example(service)}},
        "two-editions": {"value": {"proposal": _an_example(service), "editions": ["2020", "2023"]}},
    }


def _diffs(service: Service) -> Mapping[str, Any]:
    old, new = _an_example(service), _an_example(service)
    old["panelboard"]["short_circuit_rating"] = "5 kA"
    return {"resubmitted": {"value": {"old": old, "new": new}}}


_PROPOSAL: Final = Body(schema="Proposal", description="A proposed panelboard replacement.", examples=_proposals)

JUDGING: Final = (
    Operation(
        id="validate",
        method="POST",
        path="/v1/validations",
        tag="judging",
        summary="Judge a proposal",
        description=(
            "Computes what the proposal needs, judges it by every rule of the edition and answers with a report. "
            "A proposal that breaks the code is a success of this operation: its report says so. "
            "Only what cannot be read is a problem. The same proposal under the same ruleset always gets the same "
            "report, byte for byte; nothing is kept."
        ),
        handler=views.validate,
        answer="The report.",
        produces=tuple(
            Produces(media_type=media_type, schema="Report" if media_type == JSON else None)
            for media_type in REPORT_FORMS
        ),
        parameters=(_EDITION_INSTEAD, _DETAIL),
        body=_PROPOSAL,
        problems=_JSON_PROBLEMS,
    ),
    Operation(
        id="validateBatch",
        method="POST",
        path="/v1/validations/batch",
        tag="judging",
        summary="Judge many proposals, one a line",
        description=(
            "Takes NDJSON: one proposal a line, each of at most 1 MiB. Answers each line that is not blank with one "
            "line, in order, as it is made: a report, or a problem (with a code) where the line cannot be read. One "
            "bad line harms no other. After the line too many one problem, too-many-lines, ends the answer. "
            "Read the answer while you send: it is not held back until all has come, and what nobody reads stops the "
            "judging. Going away stops it too."
        ),
        handler=views.validate_batch,
        answer="One report (schema Report) or problem (schema Problem) a line.",
        produces=(Produces(media_type=NDJSON),),
        parameters=(_EDITION_INSTEAD, _DETAIL),
        body=Body(
            schema=None, description="Proposals, one a line (schema Proposal).", examples=_lines, media_type=NDJSON
        ),
        problems=("unsupported-media-type",),
    ),
    Operation(
        id="whatIf",
        method="POST",
        path="/v1/what-if",
        tag="judging",
        summary="Try a change, or the values of one member",
        description=(
            "Judges the proposal as it is and once more with a patch (RFC 6902) applied, or once for each of up to 50 "
            "values of one member. Each variant tells its verdict and which findings moved. A variant that is no "
            "proposal any more says why and harms no other."
        ),
        handler=views.what_if,
        answer="The verdict as it is, and each variant's.",
        produces=json_form("WhatIf"),
        body=Body(schema="WhatIfRequest", description="A proposal and a patch or a sweep.", examples=_trials),
        problems=_REQUEST_PROBLEMS,
    ),
    Operation(
        id="compare",
        method="POST",
        path="/v1/comparisons",
        tag="judging",
        summary="Judge a proposal under several editions or jurisdictions",
        description=(
            "Judges the proposal under each edition and jurisdiction named, under every edition where none is, and "
            "tells which rules answer differently and what changed in them. A jurisdiction is taken as of the date "
            "applied on. A comparison claims no edition to be in force."
        ),
        handler=views.compare,
        answer="The verdicts side by side, and the rules that differ.",
        produces=json_form("Comparison"),
        body=Body(
            schema="ComparisonRequest", description="A proposal and what to judge it under.", examples=_comparisons
        ),
        problems=_REQUEST_PROBLEMS,
    ),
    Operation(
        id="decisionDiff",
        method="POST",
        path="/v1/decision-diffs",
        tag="judging",
        summary="Tell what became of a project between two submissions",
        description=(
            "Judges both proposals and tells what was fixed, what is new, what is still open, and which members "
            "changed; a change that no open finding asked for is marked silent."
        ),
        handler=views.decision_diff,
        answer="The difference.",
        produces=json_form("DecisionDiff"),
        body=Body(schema="DecisionDiffRequest", description="The old and the new proposal.", examples=_diffs),
        problems=_REQUEST_PROBLEMS,
    ),
    Operation(
        id="calculate",
        method="POST",
        path="/v1/calculations/{kind}",
        tag="judging",
        summary="Do one calculation",
        description="The calculation alone, step by step, by the same code as the rules use.",
        handler=views.calculate,
        answer="The calculation with its steps.",
        produces=json_form("CalculationAnswer"),
        parameters=(
            Parameter(
                name="kind", place="path", description="What to calculate.", values=lambda _: tuple(CALCULATIONS)
            ),
            _EDITION_INSTEAD,
        ),
        body=_PROPOSAL,
        problems=(*_JSON_PROBLEMS, "not-found"),
    ),
    Operation(
        id="document",
        method="POST",
        path="/v1/documents/{kind}",
        tag="judging",
        summary="Make a document from a proposal",
        description=(
            "Takes a proposal, or an object with a proposal, an edition and, for a correction letter, what the "
            "reviewer decided of its findings. The HTML is ready to print and stands alone."
        ),
        handler=views.document,
        answer="The document.",
        produces=tuple(Produces(media_type=media_type) for media_type in FORMS),
        parameters=(
            Parameter(name="kind", place="path", description="Which document.", values=lambda _: DOCUMENTS),
            _EDITION_INSTEAD,
        ),
        body=Body(
            schema="DocumentRequest",
            description="A proposal, alone or with an edition and decisions.",
            examples=_letters,
        ),
        problems=(*_REQUEST_PROBLEMS, "not-found"),
    ),
)
