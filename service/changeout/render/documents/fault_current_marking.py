"""The marking of the available fault current, to be put on the equipment, and the sheet that says how it was found."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from changeout.domain.findings import Report
from changeout.domain.proposal import Proposal, Source
from changeout.render.amounts import amount, interval_text
from changeout.render.calculation_blocks import calculation_section
from changeout.render.documents.facts_in_words import day, evidence, number, power, word
from changeout.render.documents.frame import (
    current_interval,
    document_footer,
    fault_current_of,
    findings_of_rules,
    known_current_a,
    project_fields,
)
from changeout.render.finding_card import section_text
from changeout.render.page import (
    Blank,
    Block,
    Code,
    Fields,
    Item,
    Items,
    Page,
    Paragraph,
    Section,
    Signature,
    Strong,
    Words,
    items,
    joined,
)

_RULES: Final = (
    "service-fault-current-marking",
    "panelboard-fault-current-marking",
    "service-fault-current-recalculated-after-change",
    "fault-current-calculation-kept-and-verified",
)
_METHODS: Final = {
    "transformer": "calculated from the transformer's data and the conductors, impedances added as R + jX",
    "stated": "calculated from a stated fault current at the source and the conductors, impedances added as R + jX",
}


def fault_current_marking(report: Report, proposal: Proposal) -> Page:
    """Return the marking; its value is blank unless the facts stated give one number."""
    current_a = known_current_a(report)
    value: Words = joined(Blank(), " A") if current_a is None else amount(current_a, "A")
    label = Section(
        title="Marking",
        blocks=(
            Paragraph(words="Maximum available fault current", tone="label"),
            Paragraph(words=joined(value), tone="label"),
            Fields(
                rows=(
                    ("At", "line terminals of the panelboard"),
                    ("System", word(proposal.supply.system)),
                    ("Date of calculation", _calculated_on(proposal)),
                    ("Method", _method(report, proposal)),
                )
            ),
        ),
    )
    calculation = fault_current_of(report)
    blocks = [
        label,
        *_open(report),
        Section(title="Project", blocks=(project_fields(report, proposal),)),
        Section(title="What it was found from", blocks=tuple(_basis(proposal))),
        *_required(report),
        *([calculation_section(calculation, folded="")] if calculation else []),
        Section(title="Cautions", blocks=(items(report.cautions),)),
        Signature(names=("Calculated and verified by", "Date")),
    ]
    return Page(title="Fault-current marking", blocks=tuple(blocks), footer=document_footer(report))


def _calculated_on(proposal: Proposal) -> Words:
    """Return a blank, since nobody said when it is calculated, with the day that the data are of."""
    applied_on = proposal.project.applied_on.value
    return joined(Blank(), f" (from the application of {applied_on.isoformat()})" if applied_on else "")


def _method(report: Report, proposal: Proposal) -> Words:
    if known_current_a(report) is None:
        return (Blank(),)
    return (
        f"{_METHODS.get(proposal.supply.source.kind.value or '', 'calculated')}; bolted fault, symmetrical r.m.s., "
        "nominal voltage"
    )


def _open(report: Report) -> Iterator[Block]:
    """Yield why there is no value, where there is none."""
    if known_current_a(report) is not None:
        return
    interval, calculation = current_interval(report), fault_current_of(report)
    told = f"What is stated gives {interval_text(interval, 'A')}" if interval is not None else "It was not computed"
    missing = calculation.result.missing if calculation else ()
    yield Paragraph(
        words=joined(Strong("The value is left blank."), f" {told}; one number is needed for a marking."),
        tone="caution",
    )
    if missing:
        yield Paragraph(words="Not stated:")
        yield Items(items=tuple(Item(words=(Code(pointer),)) for pointer in missing))


def _basis(proposal: Proposal) -> Iterator[Block]:
    supply = proposal.supply
    yield Fields(rows=tuple(_source_rows(supply.source)))
    runs = [
        Item(
            words=joined(
                f"Run {run.id.value or place}: ",
                number(run.sets, "count"),
                " set(s) of ",
                word(run.size),
                " ",
                word(run.material),
                ", ",
                _feet(run.length_in.value),
                ", raceway ",
                word(run.raceway),
            )
        )
        for place, run in enumerate(supply.runs, 1)
    ]
    if runs:
        yield Items(items=tuple(runs))


def _source_rows(source: Source) -> Iterator[tuple[str, Words]]:
    yield "Source", word(source.kind)
    if source.kind.value == "transformer":
        yield "Rating", power(source.rating_va)
        yield "Impedance", number(source.impedance_percent, "%")
        yield "X/R", number(source.x_over_r, "count")
        yield "Ahead of it", word(source.upstream.kind)
    if source.kind.value == "stated":
        yield "Fault current at the source", number(source.available_fault_current_a, "A")
        yield "X/R", number(source.x_over_r, "count")
        yield "Kind of fault", word(source.fault_type)
        yield "Stated by", word(source.stated_by)
        yield "Dated", day(source.dated)
        yield "Document", evidence(source.document)


def _feet(length_in: float | None) -> Words:
    return joined(Blank(), " ft") if length_in is None else amount(length_in / 12.0, "ft")


def _required(report: Report) -> Iterator[Block]:
    found = findings_of_rules(report, _RULES)
    if found:
        told = tuple(Item(words=f"{finding.message} ({section_text(finding)})") for finding in found)
        yield Section(title="Where such a marking is asked for", blocks=(Items(items=told),))
