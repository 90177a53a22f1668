"""The letter of a plan reviewer: corrections, information requests, conditions and inspection items, each apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from changeout.domain.findings import Advice, Outcome, Report
from changeout.domain.proposal import Proposal
from changeout.render.documents.decisions import Decided, Decision, decided
from changeout.render.documents.frame import by_hand, document_footer, project_fields
from changeout.render.finding_card import (
    LABELS,
    check_blocks,
    confirmation,
    message_blocks,
    remedy_items,
    section_text,
    waiver_words,
)
from changeout.render.groups import Group
from changeout.render.page import (
    Block,
    Item,
    Items,
    Page,
    Paragraph,
    Section,
    Signature,
    Strong,
    items,
    joined,
)
from changeout.render.report_page import question_items

_ADOPTED = "confirm it in the adopted code"


def correction_letter(report: Report, proposal: Proposal, decisions: Sequence[Decision] = ()) -> Page:
    """Return the letter after the reviewer's *decisions*; what nobody decided on stays where it is."""
    entries = decided(report.findings, decisions)
    kept = [e for e in entries if e.action in ("keep", "note") and not e.is_set_aside]
    corrections = _of(kept, Outcome.VIOLATION)
    open_ = _of(kept, Outcome.UNDETERMINED)
    conditions = _of(kept, Outcome.CONDITIONAL)
    advice = [e for e in _of(kept, Outcome.ADVISORY) if e.group.first.advice is not Advice.INSPECTION]
    seen = [e for e in _of(kept, Outcome.ADVISORY) if e.group.first.advice is Advice.INSPECTION]
    deferred = [e for e in entries if e.action == "defer"]
    blocks: list[Block] = [
        project_fields(report, proposal),
        by_hand("To", "From", "Date"),
        *_opening(corrections, open_, conditions, [*seen, *deferred]),
        *_opening_of_set_aside(entries),
        *_section("Corrections", "To be corrected before the work can be approved:", corrections, proposal),
        *_information(report, open_, proposal),
        *_section(
            "Conditions", "To be done before the equipment is energized:", conditions, proposal, conditions_only=True
        ),
        *_section("To be seen at inspection", "", [*seen, *deferred], proposal),
        *_section("For consideration", "None of these holds up the approval:", advice, proposal),
        *_set_aside(entries, proposal),
        Section(title="Cautions", blocks=(items(report.cautions),)),
        Signature(names=("Reviewer", "Date")),
    ]
    return Page(title="Plan review: corrections", blocks=tuple(blocks), footer=document_footer(report))


def _of(entries: Sequence[Decided], outcome: Outcome) -> list[Decided]:
    return [entry for entry in entries if entry.group.first.outcome is outcome]


def _opening(
    corrections: Sequence[Decided], open_: Sequence[Decided], conditions: Sequence[Decided], seen: Sequence[Decided]
) -> Iterator[Block]:
    counted = [
        (len(entries), one, many)
        for entries, one, many in (
            (corrections, "correction", "corrections"),
            (
                open_,
                "point that cannot be decided from what is stated",
                "points that cannot be decided from what is stated",
            ),
            (conditions, "condition", "conditions"),
            (seen, "point left to the inspection", "points left to the inspection"),
        )
        if entries
    ]
    if not counted:
        yield Paragraph(words="The review of the documents sent asks for no correction.", tone="lead")
        return
    told = ", ".join(f"{number} {one if number == 1 else many}" for number, one, many in counted)
    yield Paragraph(words=f"The review of the documents sent leads to {told}.", tone="lead")


def _opening_of_set_aside(entries: Sequence[Decided]) -> Iterator[Block]:
    aside = sum(1 for entry in entries if entry.is_set_aside and entry.group.first.outcome is Outcome.VIOLATION)
    if aside:
        told = "1 violation that the review found is" if aside == 1 else f"{aside} violations that the review found are"
        yield Paragraph(words=f"{told} set aside, with the reason: see the end of the letter.", tone="caution")


def _section(
    title: str,
    opening: str,
    entries: Sequence[Decided],
    proposal: Proposal,
    *,
    conditions_only: bool = False,
) -> Iterator[Block]:
    if entries:
        listed = Items(
            items=tuple(_entry(entry, proposal, conditions_only=conditions_only) for entry in entries), numbered=True
        )
        yield Section(title=title, blocks=(Paragraph(words=opening), listed) if opening else (listed,))


def _information(report: Report, entries: Sequence[Decided], proposal: Proposal) -> Iterator[Block]:
    if not entries:
        return
    waited_for = {pointer for entry in entries for pointer in entry.group.missing}
    questions = [question for question in report.questions if question.pointer in waited_for]
    asked: tuple[Block, ...] = (
        (Paragraph(words="Please state, the most useful first:"), question_items(questions, proposal))
        if questions
        else ()
    )
    listed = Items(items=tuple(_entry(entry, proposal) for entry in entries), numbered=True)
    told = Paragraph(words="Until then these points cannot be decided:")
    yield Section(title="Information requests", blocks=(*asked, told, listed))


def _entry(entry: Decided, proposal: Proposal, *, conditions_only: bool = False) -> Item:
    first = entry.group.first
    return Item(
        words=joined(Strong(first.title), f" ({section_text(first)})"),
        below=tuple(_below(entry, proposal, conditions_only=conditions_only)),
    )


def _below(entry: Decided, proposal: Proposal, *, conditions_only: bool) -> Iterator[Block]:
    group, first = entry.group, entry.group.first
    conditions = dict.fromkeys(f.condition for f in group.findings if f.condition)
    for condition in conditions if conditions_only else ():
        yield Paragraph(words=joined("Condition: ", Strong(condition)))
    yield from _said(group, proposal)
    remedies = remedy_items(group, proposal)
    if remedies:
        yield Paragraph(words="Ways to correct:" if first.outcome is Outcome.VIOLATION else "What would settle it:")
        yield Items(items=remedies)
    for caution in group.cautions:
        if _ADOPTED not in caution:
            yield Paragraph(words=caution, tone="caution")
    told = confirmation(first)
    if told is not None:
        yield Paragraph(words=(Strong(told),))
    yield from _decided_words(entry)


def _said(group: Group, proposal: Proposal) -> Iterator[Block]:
    return (check_blocks if group.first.advice is Advice.INSPECTION else message_blocks)(group, proposal)


def _decided_words(entry: Decided) -> Iterator[Block]:
    """Yield what the reviewer decided, where that is more than to keep it."""
    if entry.action == "defer":
        told = f"Deferred to the inspection {entry.who}{':' if entry.text else '.'}"
        yield Paragraph(words=joined(Strong(told), f" {entry.text}" if entry.text else ""))
    elif entry.text is not None:
        note = f"Reviewer's note ({entry.who}):" if entry.decision and entry.decision.by else "Reviewer's note:"
        yield Paragraph(words=joined(Strong(note), f" {entry.text}"))
    for words in dict.fromkeys(filter(None, map(waiver_words, entry.group.findings))):
        told = "The reviewer does not accept the waiver. " if entry.action == "keep" else ""
        yield Paragraph(words=f"{told}{words}")


def _set_aside(entries: Sequence[Decided], proposal: Proposal) -> Iterator[Block]:
    """Yield what the letter does not ask for and why, so that nothing of the report goes missing without a word."""
    told = tuple(_set_aside_item(entry, proposal) for entry in entries if entry.is_set_aside)
    if told:
        opening = (
            "The review found these too. This letter does not ask for them, for the reasons given; the report, under "
            "the decision named below, keeps them."
        )
        yield Section(title="Set aside", blocks=(Paragraph(words=opening), Items(items=told, numbered=True)))


def _set_aside_item(entry: Decided, proposal: Proposal) -> Item:
    first = entry.group.first
    reasons = [*dict.fromkeys(filter(None, map(waiver_words, entry.group.findings)))]
    if entry.action == "drop":
        reasons.append(f"Dropped {entry.who}: {entry.text}")
    below: list[Block] = [*_said(entry.group, proposal)]
    below += [Paragraph(words=(Strong(reason),)) for reason in reasons]
    if entry.action == "note":
        below.append(Paragraph(words=joined(Strong("Reviewer's note:"), f" {entry.text}")))
    told = confirmation(first)
    if told is not None:
        below.append(Paragraph(words=(Strong(told),)))
    return Item(
        words=joined(Strong(first.title), f" ({section_text(first)}), {LABELS[first.outcome].lower()}"),
        below=tuple(below),
    )
