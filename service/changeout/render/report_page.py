"""A report as a page: the headline, corrections first, then questions, conditions, advice, and the rest folded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from changeout import __version__
from changeout.domain.findings import Finding, Question, Report
from changeout.domain.proposal import Proposal
from changeout.render.calculation_blocks import calculation_section
from changeout.render.finding_card import check_blocks, finding_card, section_text
from changeout.render.groups import Group, alike, asked_words, by_reason, counted, grouped, sorted_findings
from changeout.render.page import (
    Block,
    Checks,
    Code,
    Fields,
    Item,
    Items,
    Page,
    Paragraph,
    Picture,
    Section,
    Words,
    items,
    joined,
    table,
)
from changeout.render.places import place_name, place_names

VERDICTS: Final = {
    "violations": "Does not conform",
    "undetermined": "Cannot be decided yet",
    "conforms-with-conditions": "Conforms with conditions",
    "conforms": "Conforms",
}
_BASES: Final = {"computed": "computed", "documented": "from a named document", "declared": "declared"}


def report_page(report: Report, proposal: Proposal | None = None, pictures: Sequence[Picture] = ()) -> Page:
    """Return the report as a page.

    With the *proposal*, circuits and runs go by their own names. *pictures* stand before the calculations. What is
    there to be looked up is folded away, and in print left out unless it was opened: the rest reads by itself.
    """
    found = sorted_findings(report.findings)
    blocks = [
        *_head(report),
        *_cards("Corrections", found.violations, proposal),
        *_cards("Violations that a waiver sets aside", found.waived, proposal, label="Waived violation"),
        *_open(report, found.undetermined, proposal),
        *_conditions(report, found.conditional, proposal),
        *_cards("Close to the limit", found.near_limit, proposal),
        *_cards("Further advice", found.advice, proposal),
        *_inspection(found.inspection, proposal),
        Section(title="Cautions", blocks=(items(report.cautions),)),
        *_not_applicable(found.not_applicable),
        *_satisfied(found.satisfied),
        *_pictures(pictures),
        *(calculation_section(calculation, folded="closed") for calculation in report.calculations),
    ]
    reference = f" {report.reference}" if report.reference else ""
    return Page(title=f"Review of the panelboard replacement{reference}", blocks=tuple(blocks), footer=_footer(report))


def _head(report: Report) -> Iterator[Block]:
    yield Paragraph(words=report.headline, tone="lead")
    if report.verdict_before_waivers != report.verdict:
        yield Paragraph(words=f"Without the waivers: {VERDICTS[report.verdict_before_waivers].lower()}.")
    rows: list[tuple[str, Words]] = [
        ("Verdict", VERDICTS[report.verdict]),
        ("Edition", f"{report.ruleset.edition}, {report.edition_chosen_by}"),
    ]
    if report.jurisdiction is not None:
        rows.append(("Jurisdiction", report.jurisdiction))
    rows += [(name, value) for name, value in report.annotations.items()]
    yield Fields(rows=tuple(rows))


def _cards(
    title: str, findings: Sequence[Finding], proposal: Proposal | None, *, label: str | None = None
) -> Iterator[Block]:
    if findings:
        cards = tuple(finding_card(group, proposal, label=label) for group in grouped(findings))
        yield Section(title=title, blocks=cards)


def _open(report: Report, findings: Sequence[Finding], proposal: Proposal | None) -> Iterator[Block]:
    if report.questions:
        yield Section(
            title="Questions, the most useful first",
            blocks=(question_items(report.questions, proposal),),
        )
    yield from _cards("What cannot be told yet", findings, proposal)


def question_items(questions: Sequence[Question], proposal: Proposal | None) -> Items:
    """Return the questions, those that ask the same of several places as one, in the order of the first."""
    return Items(items=tuple(Item(words=_asked(same, proposal)) for same in alike(questions)), numbered=True)


def _asked(questions: Sequence[Question], proposal: Proposal | None) -> Words:
    """Return a question with what its answer settles, and its places."""
    told = asked_words(questions)
    pointers = [question.pointer for question in questions]
    named = [place_name(pointer, proposal) for pointer in pointers]
    if named == pointers:
        return joined(f"{told} ", *_codes(pointers))
    return joined(f"{told} At: {place_names(pointers, proposal)}.")


def _codes(pointers: Sequence[str]) -> Iterator[str | Code]:
    for place, pointer in enumerate(pointers):
        yield from (", ", Code(pointer)) if place else (Code(pointer),)


def _conditions(report: Report, findings: Sequence[Finding], proposal: Proposal | None) -> Iterator[Block]:
    if report.conditions:
        cards = tuple(finding_card(group, proposal) for group in grouped(findings))
        yield Section(title="Conditions, before the equipment is energized", blocks=(items(report.conditions), *cards))


def _inspection(findings: Sequence[Finding], proposal: Proposal | None) -> Iterator[Block]:
    if findings:
        groups = grouped(findings)
        checks = Checks(items=tuple(inspection_item(group, proposal) for group in groups))
        yield Section(title=f"To be seen at inspection ({counted(groups)})", blocks=(checks,), folded="open")


def inspection_item(group: Group, proposal: Proposal | None) -> Item:
    """Return what is to be seen, with its section and the places to look at."""
    first = group.first
    return Item(
        words=joined(f"{first.title} ({section_text(first)})"),
        below=tuple(check_blocks(group, proposal)),
    )


def _satisfied(findings: Sequence[Finding]) -> Iterator[Block]:
    if findings:
        rows = [(group.first.title, section_text(group.first), _basis(group)) for group in grouped(findings)]
        yield Section(
            title=f"Satisfied ({len(findings)})",
            blocks=(table("", ("Requirement", "Section", "Rests on"), rows),),
            folded="closed",
        )


def _basis(group: Group) -> str:
    return ", ".join(dict.fromkeys(_BASES[finding.basis.value] for finding in group.findings))


def _not_applicable(findings: Sequence[Finding]) -> Iterator[Block]:
    if findings:
        reasons = tuple(
            Item(words=f"{message} ({', '.join(dict.fromkeys(f.reference.section or f.rule for f in same))})")
            for message, same in by_reason(findings)
        )
        yield Section(title=f"Does not apply ({len(findings)})", blocks=(Items(items=reasons),), folded="closed")


def _pictures(pictures: Sequence[Picture]) -> Iterator[Block]:
    if pictures:
        title = f"Pictures ({len(pictures)})"
        yield Section(title=title, blocks=tuple(pictures), folded="closed", new_sheet=True)


def _footer(report: Report) -> Words:
    return joined(
        f"{report.defers_to} Decision ",
        Code(report.decision_id),
        ", ruleset ",
        Code(report.ruleset.digest),
        f", engine {__version__}.",
    )
