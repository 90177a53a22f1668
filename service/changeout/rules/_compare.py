"""The only place where a rule compares numbers or turns a claim into an answer.

Satisfied only where the whole interval found lies on the good side of the whole interval required; violated
only where it lies on the bad side; otherwise unknown, and the answer names what would settle it. A member
against a published limit is compared exactly. A computed number is taken as equal within ``ROUNDING``, which
covers the rounding of floating-point arithmetic and nothing else.
"""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from changeout.domain.facts import Claim, Document, Evidence, Fact, Measured, Measurement, Number, both, fixed, merged
from changeout.domain.findings import Advice, Answer, Basis, Figure, Judgement, Remedy
from changeout.domain.truth import Truth
from changeout.domain.value import value

ROUNDING: Final = 1e-9
"""Relative. Double arithmetic of a few dozen operations stays under 1e-14; nothing measured is that exact."""

_BETWEEN_WORDS: Final = re.compile(r"[\W_]+")

_ALMOST: Final = 1 - ROUNDING

_UNITS: Final = {"in": "in", "ft2": "ft²", "in2": "in²", "degC": "°C", "ohm": "Ω", "percent": "%", "": ""}


@value(frozen=True, slots=True, kw_only=True)
class Notes:
    """What goes with an answer besides its judgement.

    ``remedy`` is said where the rule does not hold. ``rests_on`` adds facts that were read. ``documents`` are the
    pieces of evidence offered: one named makes a declared fact documented.
    """

    subject: str = ""
    remedy: str = ""
    cautions: Sequence[str] = ()
    rests_on: Sequence[Fact] = ()
    documents: Sequence[Evidence] = ()
    basis: Basis | None = None
    advice: Advice | None = None


NOTHING: Final = Notes()

_JUDGEMENTS: Final = {Truth.YES: Judgement.HOLDS, Truth.NO: Judgement.FAILS, Truth.UNKNOWN: Judgement.UNKNOWN}


@value(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A number to compare and what it is called (a noun phrase without article)."""

    name: str
    number: Measured


@functools.lru_cache(maxsize=1 << 12, typed=True)
def amount(value: float, unit: str) -> str:
    """Return a number with its unit as a person writes it: ``10,000 A``, ``36 in``, ``0.25 in``."""
    shown = _UNITS.get(unit, unit)
    if math.isinf(value):
        return "any number of " + shown
    rounded = round(value) if abs(value) >= 1000 else value
    text = f"{rounded:,.0f}" if abs(rounded - round(rounded)) < 1e-6 else f"{rounded:,.4g}"
    return text + (shown if shown == "%" else f" {shown}" if shown else "")


def spread(number: Measured, unit: str) -> str:
    """Return a number with bounds: one amount, ``between … and …``, ``… or more``, or that it is not stated."""
    if isinstance(number, Number) and not number.stated:
        return "not stated"
    if number.low == number.high:
        return amount(number.low, unit)
    if math.isinf(number.high):
        return f"{amount(number.low, unit)} or more" if number.low > 0 else "unknown"
    if number.low == 0:
        return f"at most {amount(number.high, unit)}"
    return f"between {amount(number.low, unit)} and {amount(number.high, unit)}"


def figure(name: str, number: Measured, unit: str, relation: str | None = None) -> Figure:
    """Return a number as a finding shows it."""
    return Figure(name=name, low=number.low, high=number.high, unit=unit, relation=relation)


def words(name: str, text: str, relation: str | None = None) -> Figure:
    """Return what is no number as a finding shows it."""
    return Figure(name=name, text=text, relation=relation)


def reaches(found: Measured, limit: Measured | float) -> Claim:
    """Return the claim that *found* is at least *limit*."""
    required = fixed(limit) if isinstance(limit, (int, float)) else limit
    share = _ALMOST if _is_computed(found) or _is_computed(required) else 1.0
    inputs = both(found.inputs, required.inputs)
    if found.low >= required.high * share:
        return Claim(Truth.YES, inputs)
    if found.high < required.low * share:
        return Claim(Truth.NO, inputs)
    return Claim(Truth.UNKNOWN, inputs, both(found.missing, required.missing))


def exceeds(found: Measured, limit: Measured | float) -> Claim:
    """Return the claim that *found* is over *limit*; equality is not over."""
    required = fixed(limit) if isinstance(limit, (int, float)) else limit
    return ~within(found, required)


def within(found: Measured, limit: Measured | float) -> Claim:
    """Return the claim that *found* is at most *limit*."""
    return reaches(fixed(limit) if isinstance(limit, (int, float)) else limit, found)


def _is_computed(number: Measured) -> bool:
    return isinstance(number, Measurement) and bool(number.inputs)


def at_least(found: Quantity, required: Quantity, unit: str, notes: Notes = NOTHING) -> Answer:
    """Answer whether what was found is at least what is required, both in *unit*."""
    return _compared(found, required, unit, ">=", reaches(found.number, required.number), notes)


def at_most(found: Quantity, required: Quantity, unit: str, notes: Notes = NOTHING) -> Answer:
    """Answer whether what was found is at most what is required, both in *unit*."""
    return _compared(found, required, unit, "<=", within(found.number, required.number), notes)


def _compared(found: Quantity, required: Quantity, unit: str, relation: str, claim: Claim, notes: Notes) -> Answer:
    good, bad = ("at least", "less than") if relation == ">=" else ("no more than", "more than")
    left = f"the {found.name} ({spread(found.number, unit)})"
    right = f"the {required.name} ({spread(required.number, unit)})"
    if claim.holds:
        text = f"{left} is {good} {right}"
    elif claim.fails:
        text = f"{left} is {bad} {right}"
    else:
        text = f"whether {left} is {good} {right} cannot be told from what is stated"
    numbers = [n for n in (found.number, required.number) if isinstance(n, Measurement)]
    calculation = next((n.calculation for n in numbers if n.calculation), None)
    basis = notes.basis or (Basis.COMPUTED if calculation else _basis(notes))
    return _answer(
        claim,
        sentence(text),
        notes,
        found=figure(found.name, found.number, unit),
        required=figure(required.name, required.number, unit, relation),
        calculation=calculation,
        basis=basis,
    )


def sentence(text: str) -> str:
    """Return *text* with a capital and a full stop."""
    body = text[:1].upper() + text[1:]
    return body if body.endswith((".", "?", "!")) else body + "."


def decide(  # noqa: PLR0913 - the three sentences and two figures of one answer
    claim: Claim,
    *,
    yes: str,
    no: str,
    unknown: str = "",
    found: Figure | None = None,
    required: Figure | None = None,
    notes: Notes = NOTHING,
) -> Answer:
    """Answer by a claim: *yes*, *no* and *unknown* are the sentences for each truth.

    Where *unknown* is empty the sentence says that *yes* is not stated.
    """
    text = yes if claim.holds else no if claim.fails else unknown or f"not stated: whether {yes[:1].lower()}{yes[1:]}"
    return _answer(claim, sentence(text), notes, found=found, required=required, basis=notes.basis or _basis(notes))


def _basis(notes: Notes) -> Basis:
    named = any(e.document is not None for e in notes.documents) if notes.documents else False
    return Basis.DOCUMENTED if named else Basis.DECLARED


def _answer(  # noqa: PLR0913 - assembles what the public functions were given
    claim: Claim,
    message: str,
    notes: Notes,
    *,
    found: Figure | None,
    required: Figure | None,
    basis: Basis,
    calculation: str | None = None,
) -> Answer:
    judgement = _JUDGEMENTS[claim.truth]
    remedies = (Remedy(text=sentence(notes.remedy)),) if notes.remedy and claim.fails else ()
    return Answer(
        judgement=judgement,
        message=message,
        subject=notes.subject,
        found=found,
        required=required,
        inputs=_all_inputs(claim, notes),
        missing=claim.missing,
        remedies=remedies,
        cautions=tuple(notes.cautions),
        basis=basis,
        advice=notes.advice,
        calculation=calculation,
    )


def _all_inputs(claim: Claim, notes: Notes) -> tuple[str, ...]:
    if not notes.rests_on and not notes.documents:
        return claim.inputs
    return merged(claim.inputs, *[f.inputs for f in notes.rests_on], *[e.inputs for e in notes.documents])


def not_applicable(reason: str, *because: Fact | Claim, subject: str = "") -> Answer:
    """Answer that the rule does not reach this proposal, for the reason given and the facts it follows from."""
    return Answer(
        judgement=Judgement.NOT_APPLICABLE,
        message=sentence(reason),
        subject=subject,
        inputs=merged(*(b.inputs for b in because)),
    )


def advise(message: str, *because: Fact | Claim, notes: Notes = NOTHING, missing: Sequence[str] = ()) -> Answer:
    """Answer with advice that no edition turns into a violation (kind: ``notes.advice``, else practice)."""
    return Answer(
        judgement=Judgement.ADVISED,
        message=sentence(message),
        subject=notes.subject,
        inputs=merged(*(b.inputs for b in because), *(f.inputs for f in notes.rests_on)),
        missing=tuple(missing),
        remedies=(Remedy(text=sentence(notes.remedy)),) if notes.remedy else (),
        cautions=tuple(notes.cautions),
        basis=notes.basis or _basis(notes),
        advice=notes.advice or Advice.PRACTICE,
    )


def arranged(message: str, condition: str, *because: Fact | Claim, notes: Notes = NOTHING) -> Answer:
    """Answer that the rule will hold once an arranged thing is done; *condition* is the sentence for the report."""
    return Answer(
        judgement=Judgement.ARRANGED,
        message=sentence(message),
        subject=notes.subject,
        inputs=merged(*(b.inputs for b in because), *(f.inputs for f in notes.rests_on)),
        remedies=(Remedy(text=sentence(notes.remedy)),) if notes.remedy else (),
        cautions=tuple(notes.cautions),
        condition=sentence(condition),
    )


def described(document: Document | None) -> str:
    """Return a document as a finding names it: its title in quotation marks, or its id."""
    if document is None:
        return "no document"
    return f"“{document.title.value}” ({document.id})" if document.title.value else f"document {document.id}"


def named(evidence: Evidence) -> Claim:
    """Return the claim that a document is named; where none is, whether there is one is unknown, never denied."""
    return Claim(Truth.YES if evidence.stated else Truth.UNKNOWN, evidence.inputs, evidence.missing)


def kind_caution(evidence: Evidence, *expected: str) -> tuple[str, ...]:
    """Return a caution where the document named is of another kind than one expects there, else nothing."""
    document = evidence.document
    if document is None or document.kind.value is None or document.kind.value in expected:
        return ()
    return (
        f"{described(document)} is a document of kind {document.kind.value}; "
        f"one of kind {' or '.join(expected)} is expected here: see that it shows what it must.",
    )


def under(trigger: Claim, answer: Answer, *, otherwise: str) -> Answer:
    """Answer a requirement that is asked only where *trigger* holds.

    Trigger known not to hold: not applicable, for the reason *otherwise*. Trigger unknown: the answer stands if
    it holds, since then it is good either way; else nothing can be told, and what would settle the trigger is
    missing too.
    """
    if trigger.fails:
        return Answer(
            judgement=Judgement.NOT_APPLICABLE,
            message=sentence(otherwise),
            subject=answer.subject,
            inputs=trigger.inputs,
        )
    joined = replace(answer, inputs=both(trigger.inputs, answer.inputs))
    if trigger.holds or answer.judgement in {Judgement.HOLDS, Judgement.NOT_APPLICABLE}:
        return joined
    return replace(
        joined,
        judgement=Judgement.UNKNOWN,
        message=sentence(
            "whether this is asked here cannot be told from what is stated; if it is, " + uncapitalised(answer)
        ),
        missing=merged(trigger.missing, answer.missing if answer.judgement is Judgement.UNKNOWN else ()),
        condition=None,
    )


def uncapitalised(answer: Answer) -> str:
    """Return the message of *answer* as the second half of a sentence."""
    return answer.message[:1].lower() + answer.message[1:]


def bare(text: str) -> str:
    """Return a text without case, spacing and punctuation, as two texts are compared."""
    return _BETWEEN_WORDS.sub(" ", text.casefold()).strip()
