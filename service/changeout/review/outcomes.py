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
        return [_finding(ruleset, rule, row, answers, completed=completed)]
    if not answers:
        nothing = Answer(judgement=Judgement.NOT_APPLICABLE, message="There is nothing here to judge.")
        return [_finding(ruleset, rule, row, nothing, completed=completed)]
    found: list[Finding] = []
    alike: dict[Outcome, list[Answer]] = {Outcome.SATISFIED: [], Outcome.NOT_APPLICABLE: []}
    for answer in answers:
        outcome, _ = outcome_of(row, rule.stage, answer, completed=completed)
        if outcome in alike and _is_within(answer.subject, rule.about):
            alike[outcome].append(answer)
        else:
            found.append(_finding(ruleset, rule, row, answer, completed=completed))
    found.extend(_folded(ruleset, rule, row, same) for same in alike.values() if same)
    return found


def _is_within(subject: str, about: str) -> bool:
    """Whether *subject* lies in what the rule is about; a finding on another subject stays by itself."""
    return not subject or subject == about or subject.startswith(f"{about}/")


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


def _finding(ruleset: Ruleset, rule: Rule, row: Row, answer: Answer, *, completed: bool) -> Finding:
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


def _folded(ruleset: Ruleset, rule: Rule, row: Row, same: list[Answer]) -> Finding:
    """Return the one finding of answers that all are satisfied, or all do not apply."""
    first = same[0]
    subjects = tuple([answer.subject or rule.about for answer in same])
    if subjects == (rule.about,):
        return _finding(ruleset, rule, row, first, completed=False)
    message = first.message
    if any(answer.message != message for answer in same):
        verb = "holds" if first.judgement is Judgement.HOLDS else "does not apply"
        message = f"This {verb} for {len(same)} of them."
    one = all(answer.found == first.found and answer.required == first.required for answer in same)
    folded = replace(
        first,
        subject=rule.about,
        message=message,
        found=first.found if one else None,
        required=first.required if one else None,
        basis=_weakest(same),
        inputs=merged(*[answer.inputs for answer in same]),
        cautions=merged(*[answer.cautions for answer in same]),
    )
    return replace(_finding(ruleset, rule, row, folded, completed=False), subjects=subjects)


def _weakest(answers: list[Answer]) -> Basis:
    bases = {answer.basis for answer in answers}
    return next(basis for basis in (Basis.DECLARED, Basis.DOCUMENTED, Basis.COMPUTED) if basis in bases)
