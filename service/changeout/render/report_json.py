"""The report as JSON, members in the interface's order."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any

from changeout import __version__
from changeout.domain.calculation import Calculation
from changeout.domain.findings import Figure, Finding, Question, Report
from changeout.domain.interval import Interval


def report_bytes(report: Report) -> bytes:
    """Return the report as UTF-8 JSON without a line break at its end."""
    return json.dumps(report_object(report), ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def report_object(report: Report) -> dict[str, Any]:
    """Return the report as JSON-ready values."""
    full = report.detail == "full"
    shown: dict[str, Any] = {
        "changeout_report": 1,
        "decision_id": report.decision_id,
        "proposal_digest": report.proposal_digest,
        "verdict": report.verdict,
        "verdict_before_waivers": report.verdict_before_waivers,
        "headline": report.headline,
        "conditions": list(report.conditions),
        "open_at_inspection": report.open_at_inspection,
        "project": {
            "reference": report.reference,
            "annotations": dict(report.annotations),
            "edition": report.ruleset.edition,
            "jurisdiction": report.jurisdiction,
            "edition_chosen_by": report.edition_chosen_by,
        },
        "ruleset": {
            "edition": report.ruleset.edition,
            "jurisdiction": report.ruleset.jurisdiction,
            "preview": report.ruleset.preview,
            "digest": report.ruleset.digest,
            "rules": report.ruleset.rules,
            "reviewed": dict(report.ruleset.reviewed),
        },
        "engine": __version__,
        "counts": dict(report.counts),
        "findings": [finding_object(f, full=full) for f in report.findings],
    }
    if full:
        shown["questions"] = [question_object(q) for q in report.questions]
        shown["calculations"] = [calculation_object(c) for c in report.calculations]
    shown["cautions"] = list(report.cautions)
    shown["defers_to"] = report.defers_to
    return shown


def finding_object(finding: Finding, *, full: bool) -> dict[str, Any]:
    """Return one finding as JSON-ready values; not *full*: without remedies and what would settle it."""
    shown: dict[str, Any] = {
        "rule": finding.rule,
        "title": finding.title,
        "outcome": finding.outcome.value,
        "advice": finding.advice.value if finding.advice else None,
        "basis": finding.basis.value,
        "reviewed": finding.reviewed.value,
        "waived": dict(finding.waived) if finding.waived else None,
        "subject": finding.subject,
        "subjects": list(finding.subjects),
        "reference": {
            "edition": finding.reference.edition,
            "section": finding.reference.section,
            "also": list(finding.reference.also),
            "local": finding.reference.local,
        },
        "message": finding.message,
        "found": _found(finding.found),
        "required": _required(finding.required),
        "inputs": list(finding.inputs),
        "missing": list(finding.missing),
    }
    if full:
        shown["remedies"] = [
            {"text": r.text, "patch": [dict(p) for p in r.patch], "effects": list(r.effects)} for r in finding.remedies
        ]
        shown["settled_by"] = [list(pointers) for pointers in finding.settled_by]
    shown["cautions"] = list(finding.cautions)
    shown["calculation"] = finding.calculation
    return shown


def question_object(question: Question) -> dict[str, Any]:
    """Return one question as JSON-ready values."""
    threshold = question.threshold
    return {
        "pointer": question.pointer,
        "ask": question.ask,
        "decides": list(question.decides),
        "rank": question.rank,
        "settles": question.settles,
        "threshold": None
        if threshold is None
        else {
            "relation": threshold.relation,
            "value": threshold.value,
            "unit": threshold.unit,
            "outcome": threshold.outcome.value,
            "rule": threshold.rule,
        },
    }


def calculation_object(calculation: Calculation) -> dict[str, Any]:
    """Return a calculation with its results and steps as JSON-ready values."""
    return {
        "id": calculation.id,
        "title": calculation.title,
        "result": {**_bounds(calculation.result.interval), "unit": calculation.unit},
        "results": [{"at": r.at, "name": r.name, **_bounds(r.interval), "unit": r.unit} for r in calculation.results],
        "inputs": list(calculation.result.inputs),
        "missing": list(calculation.result.missing),
        "steps": [
            {
                "symbol": s.symbol,
                "name": s.name,
                "expression": s.expression,
                **(_bounds(s.interval) if s.interval else {"value": None, "low": None, "high": None}),
                "unit": s.unit,
                "source": s.source,
            }
            for s in calculation.steps
        ],
        "assumptions": list(calculation.assumptions),
        "cautions": list(calculation.cautions),
    }


def _bounds(interval: Interval) -> dict[str, float | None]:
    # Both ends are without a bound where nothing at all limits a number from below.
    return {"value": finite(interval.value), "low": finite(interval.low), "high": finite(interval.high)}


def finite(value: float | None) -> float | None:
    """Return *value*, or None where no bound is known."""
    return None if value is None or math.isinf(value) else value


def _found(figure: Figure | None) -> Mapping[str, Any] | None:
    if figure is None:
        return None
    return {
        "name": figure.name,
        "value": finite(figure.value),
        "low": finite(figure.low),
        "high": finite(figure.high),
        "unit": figure.unit,
        "text": figure.text,
    }


def _required(figure: Figure | None) -> Mapping[str, Any] | None:
    if figure is None:
        return None
    return {
        "name": figure.name,
        "relation": figure.relation,
        "value": finite(figure.value),
        "unit": figure.unit,
        "low": finite(figure.low),
        "high": finite(figure.high),
        "text": figure.text,
    }
