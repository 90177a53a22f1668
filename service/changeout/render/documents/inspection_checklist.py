"""The checklist for the inspection: conditions first, then what nobody stated, then what was only declared."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from changeout.domain.findings import Advice, Basis, Finding, Outcome, Report
from changeout.domain.proposal import Proposal
from changeout.render.documents.frame import by_hand, document_footer, project_fields
from changeout.render.finding_card import check_blocks, confirmation, section_text
from changeout.render.groups import Group, grouped
from changeout.render.page import (
    Blank,
    Block,
    Checks,
    Item,
    Page,
    Paragraph,
    Section,
    Signature,
    Strong,
    items,
    joined,
)


def inspection_checklist(report: Report, proposal: Proposal) -> Page:
    """Return the checklist; violations and what cannot be told yet are named first, since they are still open."""
    findings = report.findings
    seen = [f for f in findings if f.advice is Advice.INSPECTION]
    declared = [f for f in findings if f.outcome is Outcome.SATISFIED and f.basis is Basis.DECLARED]
    blocks = [
        project_fields(report, proposal),
        by_hand("Inspector", "Date"),
        *_still_open(report),
        *_conditions(report),
        *_checks("Not stated: to be seen", seen, proposal, result=True),
        *_checks("As declared: to be verified on site", declared, proposal, result=False),
        Section(title="Cautions", blocks=(items(report.cautions),)),
        Signature(names=("Inspector", "Date")),
    ]
    return Page(title="Inspection checklist", blocks=tuple(blocks), footer=document_footer(report))


def _still_open(report: Report) -> Iterator[Block]:
    found = [f for f in report.findings if f.outcome in (Outcome.VIOLATION, Outcome.UNDETERMINED) and f.waived is None]
    if found:
        yield Paragraph(
            words="The plan review is not closed: its corrections and open questions come before the inspection.",
            tone="caution",
        )
        listed = tuple(
            Item(words=joined(Strong(group.first.title), f" ({section_text(group.first)})")) for group in grouped(found)
        )
        yield Section(title="Open in the plan review", blocks=(Checks(items=listed),))


def _conditions(report: Report) -> Iterator[Block]:
    if report.conditions:
        listed = tuple(Item(words=condition) for condition in report.conditions)
        yield Section(title="Before the equipment is energized", blocks=(Checks(items=listed),))


def _checks(title: str, findings: Sequence[Finding], proposal: Proposal, *, result: bool) -> Iterator[Block]:
    if findings:
        listed = tuple(_check(group, proposal, result=result) for group in grouped(findings))
        yield Section(title=title, blocks=(Checks(items=listed),))


def _check(group: Group, proposal: Proposal, *, result: bool) -> Item:
    first = group.first
    told = confirmation(first)
    below: tuple[Block, ...] = tuple(check_blocks(group, proposal))
    if told is not None:
        below = (*below, Paragraph(words=told, tone="note"))
    if result:
        below = (*below, Paragraph(words=joined("Found: ", Blank())))
    return Item(words=joined(Strong(first.title), f" ({section_text(first)})"), below=below)
