"""The directory of circuits, laid out as the panelboard is: odd positions left, even ones right."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from changeout.domain.findings import Report
from changeout.domain.proposal import Circuit, Proposal
from changeout.render.documents.facts_in_words import number, word
from changeout.render.documents.frame import by_hand, document_footer, project_fields
from changeout.render.page import Block, Cell, Fields, Item, Items, Page, Paragraph, Section, Table, Words, joined
from changeout.render.positions import Positions, positions_of

_COLUMNS: Final = ("Serves", "Breaker", "No.", "No.", "Breaker", "Serves")


def circuit_directory(report: Report, proposal: Proposal) -> Page:
    """Return the directory; a position that no circuit takes is left empty."""
    panelboard = proposal.panelboard
    main = panelboard.main
    positions = positions_of(panelboard)
    head = Fields(
        rows=(
            ("Panelboard", word(panelboard.role)),
            ("System", word(proposal.supply.system)),
            ("Busbar rating", number(panelboard.busbar_rating_a, "A")),
            ("Main", "main lugs" if main.kind.value == "lugs" else number(main.rating_a, "A")),
        )
    )
    blocks = [
        project_fields(report, proposal),
        head,
        by_hand("Name of the panelboard", "Supplied from", "Date"),
        *_directory(positions),
        *_remarks(proposal, positions),
    ]
    return Page(title="Circuit directory", blocks=tuple(blocks), footer=document_footer(report))


def _directory(positions: Positions) -> Iterator[Block]:
    if positions.rows:
        yield Table(
            caption="Circuits by position",
            columns=_COLUMNS,
            rows=tuple(_row(positions, row) for row in range(positions.rows)),
            look="directory",
        )


def _row(positions: Positions, row: int) -> tuple[Cell, ...]:
    odd, even = 2 * row + 1, 2 * row + 2
    left, right = _cells(positions, odd), _cells(positions, even)
    return (*left, _place(odd), _place(even), *reversed(right))


def _place(position: int) -> Cell:
    return Cell(words=str(position), header=True)


def _cells(positions: Positions, position: int) -> tuple[Cell, ...]:
    """Return what is served and by what breaker; nothing where the circuit begins further up."""
    here = positions.taken.get(position, ())
    if not here:
        return Cell(words=""), Cell(words="")
    if not positions.begins(position):
        return ()
    rows = positions.rows_of(position)
    return (
        Cell(words=_several([word(c.serves) for c in here]), rows=rows),
        Cell(words=_several([_breaker(c) for c in here]), rows=rows),
    )


def _breaker(circuit: Circuit) -> Words:
    poles = number(circuit.poles, "count")
    return joined(number(circuit.breaker.rating_a, "A"), ", ", poles, "-pole")


def _several(parts: list[Words]) -> Words:
    told = parts[0]
    for part in parts[1:]:
        told = joined(told, "; and ", part)
    return told


def _remarks(proposal: Proposal, positions: Positions) -> Iterator[Block]:
    if not proposal.panelboard.circuits.stated:
        yield Paragraph(words="The proposal does not state the circuits: fill in by hand.", tone="caution")
    overlapping = sorted(place for place, circuits in positions.taken.items() if len(circuits) > 1)
    if overlapping:
        places = ", ".join(map(str, overlapping))
        yield Paragraph(words=f"More than one circuit is stated for position {places}.", tone="caution")
    if positions.unplaced:
        told = tuple(Item(words=joined(word(c.serves), ": ", _breaker(c))) for c in positions.unplaced)
        yield Section(title="Circuits without a position", blocks=(Items(items=told),))
