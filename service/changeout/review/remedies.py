"""Remedies that are proven: one equipment value changed, tried on the same rules before it is offered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from changeout.domain.facts import Choice, ConductorSize, Fact, Flag, Number, VoltageRating
from changeout.domain.findings import Finding, Outcome, Remedy
from changeout.domain.walk import fact_at
from changeout.review.equipment import choices_for
from changeout.review.members import Members
from changeout.review.trial import Trials

MOST_REMEDIES: Final = 6
"""How many proven remedies a finding shows."""

_Outcomes = Mapping[tuple[str, str], Outcome]


def with_remedies(trials: Trials, findings: Sequence[Finding], members: Members) -> list[Finding]:
    """Return the findings with what is proven to mend each violation added to its remedies in words."""
    before = outcomes_of(findings)
    return [
        replace(f, remedies=(*f.remedies, *proven(trials, f, before, members))) if f.outcome is Outcome.VIOLATION else f
        for f in findings
    ]


def proven(trials: Trials, finding: Finding, before: _Outcomes, members: Members) -> tuple[Remedy, ...]:
    """Return for each member that a violation rests on the nearest equipment value that satisfies it.

    What makes a new violation anywhere is not offered; what else moves is said in ``effects``.
    """
    found: list[Remedy] = []
    for pointer in finding.inputs:
        fact = fact_at(trials.case.proposal, pointer)
        for choice in choices_for(fact, trials.case.proposal) if fact is not None else ():
            changed = trials.with_facts(choice)
            if changed.outcome(finding.rule, finding.subject) is not Outcome.SATISFIED:
                continue
            moved = [rule for rule in trials.ruleset.edition.rows if rule in changed.moved]
            after = {(rule, at): o for rule in moved for at, o in changed.outcomes(rule).items()}
            if not any(o is Outcome.VIOLATION and before.get(key) is not o for key, o in after.items()):
                found.append(_remedy(fact, choice, effects(before, after, finding), members))
                break
        if len(found) == MOST_REMEDIES:
            break
    return tuple(found)


def outcomes_of(findings: Sequence[Finding]) -> dict[tuple[str, str], Outcome]:
    """Return the outcome of every rule on every subject, those that stand folded at their array included."""
    return {(f.rule, subject): f.outcome for f in findings for subject in (f.subjects or (f.subject,))}


def effects(before: _Outcomes, after: _Outcomes, finding: Finding) -> tuple[str, ...]:
    """Return what else moves, a sentence each: rule, outcome before and after."""
    return tuple(
        f"{rule} ({subject}): {before[rule, subject].value}, then {outcome.value}"
        for (rule, subject), outcome in after.items()
        if (rule, subject) in before
        and before[rule, subject] is not outcome
        and (rule, subject) != (finding.rule, finding.subject)
    )


def _remedy(fact: Fact | None, choice: Fact, moved: tuple[str, ...], members: Members) -> Remedy:
    old = "" if fact is None else _said(fact, members)
    new = _said(choice, members)
    label = members.label(choice.at)
    text = f"{label}: {new} instead of {old}, all else as proposed." if old else f"{label}: {new}."
    return Remedy(
        text=text,
        patch=({"op": "replace", "path": choice.at, "value": _written(choice, members)},),
        effects=moved,
    )


def _written(fact: Fact, members: Members) -> object:
    match fact:
        case Number(at, value=value) if value is not None:
            return members.written(at, value)
        case Flag(truth=truth):
            return truth.value == "yes"
        case Choice(value=value) | ConductorSize(value=value) | VoltageRating(value=value):
            return value
        case _:
            raise TypeError(f"{fact.at} is no equipment value")


def _said(fact: Fact, members: Members) -> str:
    value = _written(fact, members)
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)
