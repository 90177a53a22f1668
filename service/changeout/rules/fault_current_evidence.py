"""What stands behind the fault current: a dated letter, or the data of the transformer."""

from __future__ import annotations

from changeout.domain.facts import Claim, Day, Fact, Measurement, all_claims, fixed
from changeout.domain.findings import Answer, Stage
from changeout.domain.interval import Interval
from changeout.domain.proposal import Source
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_most, decide, described, kind_caution
from changeout.rules._registry import Limits, rule

CENTRE_TAPPED = ("120/240V-1ph-3w",)
"""Systems at whose transformer a fault to neutral can be 1.67 times the one from line to line.

Source: a manufacturer's published short-circuit handbook (title withheld): 2 / 1.2 at the most.
"""


@rule(
    "fault-current-evidence-dated",
    group="ratings",
    about="/supply/source",
    stage=Stage.INTAKE,
    needs=(
        "/supply/source/kind",
        "/supply/source/rating",
        "/supply/source/impedance_percent",
        "/supply/source/stated_by",
        "/supply/source/dated",
        "/supply/source/document",
        "/documents/*/dated",
        "/project/applied_on",
        "/supply/source/fault_type",
        "/supply/source/line_to_neutral_fault_current",
    ),
    applies_to="every proposal",
    parameters={"max_age_days": "number"},
)
def fault_current_evidence(case: Case, limits: Limits) -> Answer:
    """A stated fault current is backed by a letter or calculation of the last year, or computed from transformer data.

    Because: utilities change transformers; a ten-year-old letter says nothing about today.
    Passes: when the transformer's data are given and the current is computed, or the stated value has a document dated
        no more than a year before the application.
    Fails: never by itself: an older document is said as advice; the year is common practice, not code.
    Cannot tell: when no document, its date or the date of the application is stated.
    """
    source = case.supply.source
    if source.kind.value == "stated":
        return _letter(case, source, limits.number("max_age_days"))
    return decide(
        source.kind.among("transformer") & _given(source.rating_va) & _given(source.impedance_percent),
        yes="the fault current is computed from the transformer data given",
        no="",
        unknown="what the fault current rests on is not stated in full: a dated letter, or the transformer's rating "
        "and impedance",
    )


def _given(fact: Fact) -> Claim:
    return Claim(Truth.YES if fact.stated else Truth.UNKNOWN, fact.inputs, fact.missing)


def _letter(case: Case, source: Source, max_age_days: float) -> Answer:
    evidence, applied = source.document, case.project.applied_on
    in_document = evidence.document.dated if evidence.document is not None else source.dated
    dated = source.dated if source.dated.stated else in_document
    notes = Notes(
        rests_on=(source.stated_by, source.fault_type, source.line_to_neutral_fault_current_a),
        documents=(evidence,),
        cautions=(
            *kind_caution(evidence, "utility-letter", "engineering-study"),
            *_cautions(case, source, in_document),
        ),
        remedy="ask the utility, or whoever stated the value, to confirm it and submit the dated answer",
    )
    if evidence.document is None or dated.value is None or applied.value is None:
        return decide(
            all_claims((_given(evidence), _given(source.dated) | _given(in_document), _given(applied))),
            yes="",
            no="",
            unknown="the stated fault current is not backed by a document whose date can be set against the date of "
            "the application",
            notes=notes,
        )
    return at_most(
        Quantity(
            name=f"age of {described(evidence.document)}",
            number=Measurement(Interval.exactly(max(0, (applied.value - dated.value).days)), (dated.at, applied.at)),
        ),
        Quantity(
            name="age up to which a stated fault current is taken, by common practice", number=fixed(max_age_days)
        ),
        "d",
        notes,
    )


def _cautions(case: Case, source: Source, in_document: Day) -> tuple[str, ...]:
    found = []
    if source.dated.value and in_document.value and source.dated.value != in_document.value:
        found.append("The date stated for the fault current is not the date of the document named.")
    of_lines = source.fault_type.value not in {"greatest", "line-to-neutral"}
    if case.supply.system.value in CENTRE_TAPPED and of_lines and not source.line_to_neutral_fault_current_a.stated:
        found.append(
            "Ask which fault the value means: from line to neutral a centre-tapped transformer can give 1.67 times "
            "what it gives from line to line."
        )
    return tuple(found)
