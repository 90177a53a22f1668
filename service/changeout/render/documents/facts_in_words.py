"""Facts of a proposal as a document shows them: in words, or as a blank to be filled in by hand."""

from __future__ import annotations

from changeout.domain.facts import Choice, Choices, ConductorSize, Day, Evidence, Flag, Number, Text
from changeout.domain.truth import Truth
from changeout.render.amounts import amount, power_stated
from changeout.render.page import Blank, Words, joined, or_blank


def number(fact: Number, unit: str) -> Words:
    """Return a number with its unit, or a blank with the unit behind it."""
    if fact.value is None:
        return joined(Blank(), f" {unit}") if unit and unit != "count" else (Blank(),)
    return amount(fact.value, unit)


def power(fact: Number) -> Words:
    """Return an apparent power in kVA or MVA, or a blank with its unit."""
    return joined(Blank(), " kVA") if fact.value is None else power_stated(fact)


def word(fact: Choice | Text | ConductorSize) -> Words:
    """Return a word or text, or a blank."""
    return or_blank(fact.value)


def words(fact: Choices) -> Words:
    """Return several words, or a blank."""
    return or_blank(None if fact.values is None else ", ".join(fact.values) or "none")


def flag(fact: Flag) -> Words:
    """Return yes or no, or a blank."""
    return or_blank({Truth.YES: "yes", Truth.NO: "no"}.get(fact.truth))


def day(fact: Day) -> Words:
    """Return a date, or a blank."""
    return or_blank(fact.value.isoformat() if fact.value else None)


def evidence(fact: Evidence) -> Words:
    """Return the document that is named, or a blank."""
    document = fact.document
    if document is None:
        return (Blank(),)
    dated = f", {document.dated.value.isoformat()}" if document.dated.value else ""
    return f"{document.title.value or document.id}{dated}"
