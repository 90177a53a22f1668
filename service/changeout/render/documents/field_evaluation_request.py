"""The request for a field evaluation of the completed work: what it is, where it is, and for what fault current."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from changeout.domain.findings import Outcome, Report
from changeout.domain.proposal import Enclosure, Panelboard, Proposal
from changeout.render.amounts import amount, interval_text
from changeout.render.documents.facts_in_words import day, evidence, flag, number, word, words
from changeout.render.documents.frame import (
    by_hand,
    current_interval,
    document_footer,
    findings_of_rules,
    known_current_a,
    project_fields,
)
from changeout.render.finding_card import LABELS, section_text
from changeout.render.page import (
    Blank,
    Block,
    Checks,
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
    table,
)

_RULES: Final = (
    "replacement-interior-field-label-above-10-ka",
    "replacement-interior-identified-at-or-below-10-ka",
    "replacement-interior-listed-for-enclosure",
    "new-enclosure-combination-evaluated-above-10-ka",
    "former-listing-marks-removed",
    "cover-belongs-to-cabinet",
    "short-circuit-rating-at-least-fault-current",
)
_TO_ENCLOSE: Final = (
    "Photos of the enclosure, inside and out, with all marks",
    "Photos of the panelboard's nameplate and markings",
    "Installation instructions of the panelboard or retrofit kit",
    "How the interior is fastened and bonded in the enclosure",
    "How cover and dead front are fitted",
    "The fault-current calculation",
)


def field_evaluation_request(report: Report, proposal: Proposal) -> Page:
    """Return the request, with blanks for what the proposal does not say (a maker's name is never in it)."""
    blocks = [
        project_fields(report, proposal),
        by_hand("To", "From", "Site contact", "Date"),
        Section(title="What is asked", blocks=tuple(_asked(report, proposal))),
        Section(title="Panelboard", blocks=(Fields(rows=tuple(_panelboard(proposal.panelboard))),)),
        Section(title="Enclosure", blocks=(Fields(rows=tuple(_enclosure(proposal.enclosure))),)),
        Section(title="Place", blocks=(Fields(rows=tuple(_place(proposal))),)),
        *_bearing(report),
        *_documents(proposal),
        Section(title="To be enclosed", blocks=(Checks(items=tuple(Item(words=told) for told in _TO_ENCLOSE)),)),
        Section(title="Cautions", blocks=(items(report.cautions),)),
        Signature(names=("Requested by", "Date")),
    ]
    return Page(title="Request for a field evaluation", blocks=tuple(blocks), footer=document_footer(report))


def _asked(report: Report, proposal: Proposal) -> Iterator[Block]:
    current_a, interval = known_current_a(report), current_interval(report)
    value: Words = joined(Blank(), " A") if current_a is None else (Strong(amount(current_a, "A")),)
    yield Paragraph(
        words=joined(
            "Evaluation of the completed work (",
            word(proposal.work.scope),
            ") where it stands, and a field label, for an available fault current of at least ",
            value,
            ".",
        )
    )
    if current_a is None:
        told = f"gives {interval_text(interval, 'A')}" if interval is not None else "gives none"
        yield Paragraph(
            words=f"The fault current is left blank: what is stated {told}, and one number is needed.", tone="caution"
        )
    label = proposal.enclosure.field_label
    yield Fields(
        rows=(
            ("System", word(proposal.supply.system)),
            ("State of the work", word(proposal.work.status)),
            ("Label so far", word(label.state)),
            ("Label evaluated for", number(label.evaluated_for_a, "A")),
            ("Report of it", evidence(label.document)),
        )
    )


def _panelboard(panelboard: Panelboard) -> Iterator[tuple[str, Words]]:
    for name in ("Maker", "Catalog number", "Serial number"):
        yield name, (Blank(),)
    yield "Role", word(panelboard.role)
    yield "Busbar rating", number(panelboard.busbar_rating_a, "A")
    yield "Short-circuit current rating", number(panelboard.short_circuit_rating_a, "A")
    yield "Rating basis", word(panelboard.rating_basis)
    yield "Listed", flag(panelboard.listed)
    yield "Reconditioned", flag(panelboard.reconditioned)
    yield "Identified for this use", flag(panelboard.identified_for_application)
    yield "By", word(panelboard.identification_basis)
    yield "Document", evidence(panelboard.identification_document)
    yield "Main", word(panelboard.main.kind)
    if panelboard.main.kind.value != "lugs":
        yield "Main rating", number(panelboard.main.rating_a, "A")
        yield "Main interrupting rating", number(panelboard.main.interrupting_rating_a, "A")


def _enclosure(enclosure: Enclosure) -> Iterator[tuple[str, Words]]:
    for name in ("Maker", "Catalog number"):
        yield name, (Blank(),)
    yield "Kind", word(enclosure.kind)
    yield "Listed for this panelboard", flag(enclosure.listed_for_panelboard)
    yield "Type", word(enclosure.type)
    yield "Material", word(enclosure.material)
    yield "Condition", word(enclosure.condition)
    yield "Marks of the former panelboard", word(enclosure.former_listing_marks)
    yield "Cover", word(enclosure.cover_origin)
    yield "Dead front", flag(enclosure.dead_front)
    yield "Width", number(enclosure.width_in, "in")
    yield "Wire-bending space", number(enclosure.wire_bending_space_in, "in")


def _place(proposal: Proposal) -> Iterator[tuple[str, Words]]:
    yield "Address", (Blank(),)
    yield "Room", word(proposal.location.room)
    yield "Conditions", words(proposal.location.conditions)
    yield "Made dead by", word(proposal.work.isolation)


def _bearing(report: Report) -> Iterator[Block]:
    found = [f for f in findings_of_rules(report, _RULES) if f.outcome is not Outcome.NOT_APPLICABLE]
    if found:
        told = tuple(Item(words=f"{LABELS[f.outcome]}: {f.message} ({section_text(f)})") for f in found)
        yield Section(title="What the review says of it", blocks=(Items(items=told),))


def _documents(proposal: Proposal) -> Iterator[Block]:
    if len(proposal.documents):
        rows = [(d.id, word(d.kind), word(d.title), day(d.dated)) for d in proposal.documents]
        yield Section(title="Documents named", blocks=(table("", ("Id", "Kind", "Title", "Dated"), rows),))
