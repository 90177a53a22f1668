"""A report with every kind of finding, made by hand, so that these tests rest on no rule and no ruleset."""

from __future__ import annotations

import dataclasses

from changeout.domain.calculation import Calculation, Result, Step
from changeout.domain.facts import Measurement
from changeout.domain.findings import (
    Advice,
    Basis,
    Figure,
    Finding,
    Outcome,
    Question,
    Reference,
    Remedy,
    Report,
    Reviewed,
    RulesetSummary,
    Threshold,
)
from changeout.domain.interval import Interval
from changeout.review.verdict import counts_of, headline_of, open_at_inspection, verdict_of

WAIVER = {
    "rule": "waived-rule",
    "reason": "Replaced within the month",
    "granted_by": "authority having jurisdiction",
    "expires_on": "2026-12-31",
}


def finding(rule, outcome, message, subject="/panelboard", **members):
    """A finding; what is not given is empty."""
    known = {
        "title": f"The title of {rule}",
        "advice": None,
        "basis": Basis.DECLARED,
        "reviewed": Reviewed.VERIFIED,
        "waived": None,
        "subjects": (),
        "reference": Reference(edition="2023", section="408.6"),
        "found": None,
        "required": None,
        "inputs": (),
        "missing": (),
        "remedies": (),
        "cautions": (),
        "calculation": None,
        "condition": None,
    }
    return Finding(rule=rule, outcome=outcome, message=message, subject=subject, **{**known, **members})


def every_finding():
    """One of each outcome, and of advice each reason; one violation is waived."""
    return [
        finding(
            "short-circuit-rating",
            Outcome.VIOLATION,
            "The rating of the panelboard (10,000 A) is less than the available fault current (14,210 A).",
            "/panelboard/short_circuit_rating",
            basis=Basis.COMPUTED,
            reviewed=Reviewed.FROM_MEMORY,
            reference=Reference(edition="2023", section="408.6", also=("110.10",), local="demo-county 3.1"),
            found=Figure(name="rating", low=10000.0, high=10000.0, unit="A"),
            required=Figure(name="available fault current", low=14210.0, high=14210.0, unit="A", relation=">="),
            inputs=("/panelboard/short_circuit_rating", "/supply/source/rating"),
            remedies=(Remedy(text="Use a panelboard of 22 kA.", effects=("another-rule: violation, then satisfied",)),),
            cautions=("A caution of this finding.",),
            calculation="fault-current",
        ),
        finding("waived-rule", Outcome.VIOLATION, "The handle is too high.", "/location", waived=WAIVER),
        finding(
            "branch-breakers",
            Outcome.UNDETERMINED,
            "Whether the breaker is good for it cannot be told.",
            "/panelboard/circuits/0",
            missing=("/supply/source/impedance_percent",),
            required=Figure(name="available fault current", low=900.0, high=14210.0, unit="A", relation=">="),
        ),
        finding(
            "branch-breakers",
            Outcome.UNDETERMINED,
            "Whether the breaker is good for it cannot be told.",
            "/panelboard/circuits/1",
            missing=("/supply/source/impedance_percent", "/panelboard/circuits/1/breaker/interrupting_rating"),
        ),
        finding(
            "field-label",
            Outcome.CONDITIONAL,
            "A field label is arranged.",
            "/enclosure/field_label",
            condition="The field label is applied before the equipment is energized.",
        ),
        finding("near", Outcome.ADVISORY, "It holds by 2 %.", advice=Advice.NEAR_LIMIT),
        finding("seen", Outcome.ADVISORY, "To be seen: the cover.", "/enclosure", advice=Advice.INSPECTION),
        finding("practice", Outcome.ADVISORY, "Better otherwise.", advice=Advice.PRACTICE),
        finding("read", Outcome.ADVISORY, "Read this way.", "/project", advice=Advice.READING),
        finding("good", Outcome.SATISFIED, "It is good.", reviewed=Reviewed.COMMON_PRACTICE),
        finding("idle-a", Outcome.NOT_APPLICABLE, "The panelboard is fully rated."),
        finding("idle-b", Outcome.NOT_APPLICABLE, "The panelboard is fully rated."),
        finding("idle-c", Outcome.NOT_APPLICABLE, "No vehicle is charged."),
    ]


def calculation():
    """A short calculation with a range, a number and a remark."""
    return Calculation(
        id="fault-current",
        title="Available fault current at the panelboard",
        result=Measurement(Interval(900.0, 14210.0)),
        unit="A",
        results=(Result(at="panelboard", name="line to neutral", interval=Interval(900.0, 14210.0), unit="A"),),
        steps=(
            Step(symbol="-", name="how it is read", expression="Bolted.", interval=None, unit="", source="convention"),
            Step(
                symbol="Zt",
                name="transformer",
                expression="1.9 / 100 x 240² / 50000",
                interval=Interval.exactly(0.021888),
                unit="ohm",
                source="definition of percent impedance",
            ),
        ),
        assumptions=("No motors.",),
        cautions=("A caution of the calculation.",),
    )


def report_of(findings, **members):
    """A report on these findings, its counts and verdict formed from them."""
    verdict = verdict_of(findings, with_waivers=True)
    report = Report(
        decision_id=f"sha256:{'1' * 64}",
        proposal_digest=f"sha256:{'2' * 64}",
        verdict=verdict,
        verdict_before_waivers=verdict_of(findings, with_waivers=False),
        headline=headline_of(findings, verdict),
        conditions=tuple(f.condition for f in findings if f.condition),
        open_at_inspection=open_at_inspection(findings),
        reference="HB-2041",
        annotations={"site": "4 Quay Row"},
        jurisdiction=None,
        edition_chosen_by="stated in the proposal",
        ruleset=RulesetSummary(
            edition="2023",
            digest=f"sha256:{'3' * 64}",
            rules=12,
            reviewed={kind.value: 3 for kind in Reviewed},
            preview=False,
        ),
        counts=counts_of(findings),
        findings=tuple(findings),
        cautions=("A standing caution.",),
        defers_to="The authority having jurisdiction decides.",
        questions=(
            Question(
                pointer="/supply/source/impedance_percent",
                ask="Transformer impedance? It passes from 1.72 % upward.",
                decides=("branch-breakers",),
                rank=1,
                settles=2,
                threshold=Threshold(
                    relation=">=", value=1.72, unit="percent", outcome=Outcome.SATISFIED, rule="branch-breakers"
                ),
            ),
        ),
        calculations=(calculation(),),
    )
    return dataclasses.replace(report, **members)


def whole_report(**members):
    """A report with every kind of finding."""
    return report_of(every_finding(), **members)
