"""A finding, or several of one rule, as a card: what is said, the numbers, what helps, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from changeout.domain.findings import Figure, Finding, Outcome, Reviewed
from changeout.domain.proposal import Proposal
from changeout.render.amounts import figure_words
from changeout.render.groups import Group
from changeout.render.page import Block, Card, Code, Fields, Item, Items, Paragraph, Words, joined
from changeout.render.places import place_name, place_names

LABELS: Final = {
    Outcome.VIOLATION: "Violation",
    Outcome.UNDETERMINED: "Cannot be told yet",
    Outcome.CONDITIONAL: "Condition",
    Outcome.ADVISORY: "Advice",
    Outcome.SATISFIED: "Satisfied",
    Outcome.NOT_APPLICABLE: "Does not apply",
}
KNOWN_BY: Final = {
    Reviewed.VERIFIED: "verified against a published source",
    Reviewed.COMMON_PRACTICE: "common practice",
    Reviewed.FROM_MEMORY: "written from memory",
    Reviewed.UNVERIFIED: "unverified",
}
TO_CONFIRM: Final = frozenset({Reviewed.FROM_MEMORY, Reviewed.UNVERIFIED})
"""How a row is known where it must be looked up before anybody relies on it."""

CONFIRM: Final = "Confirm in the adopted code"

AT_INSPECTION: Final = "To be seen at inspection: "
"""How the message of a finding begins that is left to the inspection; a list of such findings says it once."""

_MOST_MISSING: Final = 6


def section_text(finding: Finding) -> str:
    """Return where a finding stands in the code: ``2023, 408.6, also 110.10; local: …``."""
    reference = finding.reference
    also = f", also {', '.join(reference.also)}" if reference.also else ""
    local = f"; local: {reference.local}" if reference.local is not None else ""
    return f"{reference.edition}, {reference.section or 'no section'}{also}{local}"


def finding_card(group: Group, proposal: Proposal | None, *, label: str | None = None) -> Card:
    """Return the findings as a card."""
    first = group.first
    return Card(
        tone=first.outcome.value,
        label=LABELS[first.outcome] if label is None else label,
        title=first.title,
        aside=section_text(first),
        blocks=tuple(_blocks(group, proposal)),
    )


def message_blocks(group: Group, proposal: Proposal | None) -> Iterator[Block]:
    """Yield what the findings say, each with the places it was said of, and the numbers where they are the same."""
    said = group.messages
    if len(said) == 1:
        yield Paragraph(words=said[0][0])
    else:
        yield Items(items=tuple(Item(words=f"{_at(places, proposal)}{text}") for text, places in said))
    rows = [(name, words) for name, words in _figures(group)]
    places = said[0][1]
    if len(said) == 1 and (len(places) > 1 or place_name(places[0]) != places[0]):
        rows.append(("At", place_names(places, proposal)))
    if rows:
        yield Fields(rows=tuple(rows))


def check_blocks(group: Group, proposal: Proposal | None) -> Iterator[Block]:
    """Yield what is to be seen, each with the places to look at, under a heading that says when."""
    said = [(_seen(message), places) for message, places in group.messages]
    if len(said) > 1:
        yield Items(items=tuple(Item(words=f"{_at(places, proposal)}{message}") for message, places in said))
        return
    message, places = said[0]
    yield Paragraph(words=f"{_at(places, proposal)}{message}", tone="note")


def _seen(message: str) -> str:
    shown = message.removeprefix(AT_INSPECTION)
    return shown if shown == message else f"{shown[:1].upper()}{shown[1:]}"


def remedy_items(group: Group, proposal: Proposal | None) -> tuple[Item, ...]:
    """Return the remedies, each once, with what else it changes."""
    several = len(group.findings) > 1
    return tuple(
        Item(
            words=f"{remedy.text} ({place_names(subjects, proposal)})"
            if several and len(subjects) < len(group.findings)
            else remedy.text,
            below=(Items(items=tuple(Item(words=f"This also changes {effect}.") for effect in remedy.effects)),)
            if remedy.effects
            else (),
        )
        for remedy, subjects in group.remedies
    )


def confirmation(finding: Finding) -> str | None:
    """Return what must be confirmed before a finding is relied on, or None."""
    if finding.reviewed not in TO_CONFIRM:
        return None
    return f"{CONFIRM}: this rests on a row that is {KNOWN_BY[finding.reviewed]}."


def waiver_words(finding: Finding) -> str | None:
    """Return what a waiver says of a finding, or None where there is none."""
    waived = finding.waived
    if waived is None:
        return None
    until = f", until {waived['expires_on']}" if waived.get("expires_on") else ""
    return f"Waived by {waived['granted_by']}{until}: {waived['reason']}"


def _blocks(group: Group, proposal: Proposal | None) -> Iterator[Block]:
    first = group.first
    yield from message_blocks(group, proposal)
    for words in dict.fromkeys(filter(None, map(waiver_words, group.findings))):
        yield Paragraph(words=words)
    remedies = remedy_items(group, proposal)
    if remedies:
        yield Paragraph(words="What would settle it:" if first.outcome is not Outcome.VIOLATION else "Ways to correct:")
        yield Items(items=remedies)
    if group.missing:
        yield Paragraph(words=_missing(group.missing), tone="note")
    for caution in group.cautions:
        yield Paragraph(words=caution, tone="caution")
    yield Paragraph(words=joined("Rule ", Code(first.rule), f"; {_rests_on(first)}."), tone="note")


def _figures(group: Group) -> Iterator[tuple[str, Words]]:
    for name, figures in (
        ("Found", [f.found for f in group.findings]),
        ("Required", [f.required for f in group.findings]),
    ):
        figure: Figure | None = figures[0]
        if figure is not None and all(other == figure for other in figures):
            yield name, figure_words(figure)


def _missing(pointers: tuple[str, ...]) -> Words:
    shown: list[str | Code] = ["Not stated: "]
    for place, pointer in enumerate(pointers[:_MOST_MISSING]):
        shown += [", " if place else "", Code(pointer)]
    more = len(pointers) - _MOST_MISSING
    return (*shown, f" and {more} more." if more > 0 else ".")


def _rests_on(finding: Finding) -> str:
    return f"the answer is {finding.basis.value}, its row {KNOWN_BY[finding.reviewed]}"


def _at(places: Sequence[str], proposal: Proposal | None) -> str:
    """Return places as the beginning of a sentence; nothing where they are no entries of a list."""
    if all(place_name(place) == place for place in places):
        return ""
    names = place_names(places, proposal)
    return f"{names[:1].upper()}{names[1:]}: "
