"""From what a rule says to what it means under an edition's row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from changeout.domain.facts import merged
from changeout.domain.findings import (
    Advice,
    Answer,
    Basis,
    Effect,
    Finding,
    Judgement,
    Outcome,
    Reference,
    Reviewed,
    Stage,
)
from changeout.editions.rows import Row
from changeout.review.ruleset import Ruleset
from changeout.rules._registry import Rule

_AT_INSPECTION: Final = "To be seen at inspection: "
_FOLDED: Final = {Outcome.SATISFIED, Outcome.NOT_APPLICABLE}
_TO_ACT_ON: Final = {Outcome.VIOLATION, Outcome.UNDETERMINED, Outcome.CONDITIONAL}


def findings_of(ruleset: Ruleset, rule: Rule, answers: Answer | Sequence[Answer], *, completed: bool) -> list[Finding]:
    """Return the findings that a rule's answers become; many good or inapplicable subjects are folded into one.

    *completed*: the work is done, so what is only arranged does not count.
    """
    row = ruleset.edition.rows[rule.id]
    if isinstance(answers, Answer):
        return [_finding(ruleset, rule, row, answers, completed)]
    if not answers:
        nothing = Answer(judgement=Judgement.NOT_APPLICABLE, message="There is nothing here to judge.")
        return [_finding(ruleset, rule, row, nothing, completed)]
    found = [_finding(ruleset, rule, row, answer, completed) for answer in answers]
    return _folded(rule, found)


def silent(ruleset: Ruleset, rule: Rule) -> Finding:
    """Return the finding of a rule that the edition does not ask."""
    row = ruleset.edition.rows[rule.id]
    since = ruleset.first_asked.get(rule.id)
    name = ruleset.edition.name
    if row.local_note:
        text = f"Not asked here: {row.local_note}"
    elif since is not None and since > name:
        text = f"Edition {name} does not ask this; it is asked since edition {since}."
    else:
        text = f"Edition {name} does not ask this."
    answer = Answer(judgement=Judgement.NOT_APPLICABLE, message=text)
    return _finding(ruleset, rule, row, answer, completed=False)


def outcome_of(row: Row, stage: Stage, answer: Answer, *, completed: bool) -> tuple[Outcome, Advice | None]:
    """Return the outcome of an answer under a row, and the kind of advice where it is an advisory."""
    judgement = answer.judgement
    if judgement is Judgement.HOLDS:
        return Outcome.SATISFIED, None
    if judgement is Judgement.NOT_APPLICABLE:
        return Outcome.NOT_APPLICABLE, None
    if judgement is Judgement.ADVISED:
        return Outcome.ADVISORY, answer.advice or Advice.PRACTICE
    if not row.in_force or row.effect is Effect.ADVISORY:
        unseen = judgement is Judgement.UNKNOWN and stage is Stage.INSPECTION
        return Outcome.ADVISORY, answer.advice or (Advice.INSPECTION if unseen else Advice.PRACTICE)
    if judgement is Judgement.UNKNOWN:
        if stage is Stage.INSPECTION:
            return Outcome.ADVISORY, Advice.INSPECTION
        return Outcome.UNDETERMINED, None
    if judgement is Judgement.ARRANGED and not completed:
        return Outcome.CONDITIONAL, None
    return Outcome.VIOLATION, None


def _finding(ruleset: Ruleset, rule: Rule, row: Row, answer: Answer, completed: bool) -> Finding:
    outcome, advice = outcome_of(row, rule.stage, answer, completed=completed)
    message = answer.message
    if advice is Advice.INSPECTION:
        message = _AT_INSPECTION + message[:1].lower() + message[1:]
    doubt = _doubt(row, outcome)
    return Finding(
        rule=rule.id,
        title=rule.title,
        outcome=outcome,
        advice=advice,
        basis=answer.basis,
        reviewed=row.reviewed,
        waived=None,
        subject=answer.subject or rule.about,
        subjects=(),
        reference=Reference(edition=ruleset.edition.name, section=row.section, also=row.also, local=row.local),
        message=message,
        found=answer.found,
        required=answer.required,
        inputs=answer.inputs,
        missing=answer.missing,
        remedies=answer.remedies if outcome not in _FOLDED else (),
        cautions=(*answer.cautions, doubt) if doubt else answer.cautions,
        calculation=answer.calculation,
        condition=answer.condition if outcome is Outcome.CONDITIONAL else None,
    )


def _doubt(row: Row, outcome: Outcome) -> str | None:
    if row.reviewed is Reviewed.UNVERIFIED and outcome is not Outcome.NOT_APPLICABLE:
        return "This rests on an unverified row: confirm it in the adopted code."
    if row.reviewed is Reviewed.FROM_MEMORY and outcome in _TO_ACT_ON:
        return "This rests on a row written from memory: confirm it in the adopted code."
    return None


def _folded(rule: Rule, findings: list[Finding]) -> list[Finding]:
    """Fold what lies within the thing that the rule is about; a finding on another subject stays by itself."""
    within = [f for f in findings if f.subject == rule.about or f.subject.startswith(f"{rule.about}/")]
    kept = [f for f in findings if f.outcome not in _FOLDED or f not in within]
    for outcome in (Outcome.SATISFIED, Outcome.NOT_APPLICABLE):
        same = [f for f in within if f.outcome is outcome]
        if same:
            kept.append(_fold(rule, same))
    return kept


def _fold(rule: Rule, same: list[Finding]) -> Finding:
    first = same[0]
    subjects = tuple(f.subject for f in same)
    if subjects == (rule.about,):
        return first
    messages = {f.message for f in same}
    if len(same) == 1 or len(messages) == 1:
        message = first.message
    else:
        verb = "holds" if first.outcome is Outcome.SATISFIED else "does not apply"
        message = f"This {verb} for {len(same)} of them."
    figures = {(f.found, f.required) for f in same}
    return replace(
        first,
        subject=rule.about,
        subjects=subjects,
        message=message,
        found=first.found if len(figures) == 1 else None,
        required=first.required if len(figures) == 1 else None,
        basis=_weakest(same),
        inputs=merged(*(f.inputs for f in same)),
        cautions=merged(*(f.cautions for f in same)),
    )


def _weakest(findings: list[Finding]) -> Basis:
    bases = {f.basis for f in findings}
    return (
        Basis.DECLARED if Basis.DECLARED in bases else Basis.DOCUMENTED if Basis.DOCUMENTED in bases else Basis.COMPUTED
    )
