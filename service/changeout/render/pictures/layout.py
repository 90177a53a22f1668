"""The circuits of a panelboard where they stand: two columns, poles spanning rows, spaces empty."""

from __future__ import annotations

from typing import Final

from changeout.domain.proposal import Circuit, Proposal
from changeout.render.amounts import NOT_STATED, amount
from changeout.render.pictures.drawing import TEXT_SIZE, Drawing, wrapped
from changeout.render.positions import Positions, positions_of

_WIDTH: Final = 720.0
_SIDE: Final = 316.0
_NUMBERS: Final = 34.0
_ROW: Final = 36.0
_TOP: Final = 30.0
_TITLE: Final = "Circuits of the panelboard by position"
_NO_CIRCUITS: Final = "The circuits are not stated."


def circuit_layout(proposal: Proposal, *, stands_alone: bool = False) -> str:
    """Return the layout as SVG."""
    panelboard = proposal.panelboard
    positions = positions_of(panelboard)
    drawing = Drawing("layout", _WIDTH)
    drawing.text(8.0, 18.0, _heading(positions, stated=panelboard.circuits.stated), "quiet")
    for place in range(1, positions.count + 1):
        _number(drawing, place)
        here = positions.taken.get(place, ())
        if not here:
            drawing.box(_corner(place), _SIDE, _ROW - 4, "empty")
        elif positions.begins(place):
            _circuits(drawing, here, place, positions)
    bottom = _TOP + positions.rows * _ROW
    if positions.rows:
        middle = 8.0 + _SIDE + _NUMBERS
        drawing.line(middle, _TOP, middle, bottom - 4, "faint")
    y = bottom + TEXT_SIZE + 4
    for circuit in positions.unplaced:
        y = drawing.lines(8.0, y, wrapped(f"Without a number: {circuit_text(circuit)}", _WIDTH - 16))
    said = ". ".join(f"Circuit {circuit_text(c)}" for c in panelboard.circuits)
    return drawing.svg(_TITLE, said or _NO_CIRCUITS, stands_alone=stands_alone)


def circuit_text(circuit: Circuit) -> str:
    """Return a circuit in one line: number, breaker, what it serves."""
    number = f"{circuit.number.value:g}" if circuit.number.value is not None else NOT_STATED
    return f"{number}: {breaker_text(circuit)}, {circuit.serves.value or f'what it serves {NOT_STATED}'}"


def breaker_text(circuit: Circuit) -> str:
    """Return the breaker's rating and poles: ``50 A, 2 poles``."""
    rating = circuit.breaker.rating_a.value
    poles = circuit.poles.value
    shown = f"rating {NOT_STATED}" if rating is None else amount(rating, "A")
    return f"{shown}, {f'{poles:g} pole' + ('s' if poles != 1 else '') if poles is not None else f'poles {NOT_STATED}'}"


def _heading(positions: Positions, *, stated: bool) -> str:
    if not stated:
        return _NO_CIRCUITS
    spaces = sum(1 for place in range(1, positions.count + 1) if place not in positions.taken)
    known = f"marked for {positions.count} poles" if positions.is_known else f"number of poles marked {NOT_STATED}"
    return f"{len(positions.taken)} positions taken, {spaces} shown empty; {known}"


def _circuits(drawing: Drawing, here: tuple[Circuit, ...], place: int, positions: Positions) -> None:
    """Draw the circuits that begin at a position, as tall as the longest down to where another begins."""
    rows = positions.rows_of(place)
    x, y = _corner(place)
    height = rows * _ROW - 4
    drawing.box((x, y), _SIDE, height, "taken")
    texts = [_label(c) for c in here]
    most = max(int(height // 15), 1)
    lines = wrapped("; and ".join(texts), _SIDE - 16, "small", most=most)
    drawing.lines(x + 8, y + (height - len(lines) * 15) / 2 + 11, lines, "small")


def _label(circuit: Circuit) -> str:
    return f"{breaker_text(circuit)}: {circuit.serves.value or f'what it serves {NOT_STATED}'}"


def _corner(place: int) -> tuple[float, float]:
    x = 8.0 if place % 2 else 8.0 + _SIDE + 2 * _NUMBERS
    return x, _TOP + ((place + 1) // 2 - 1) * _ROW


def _number(drawing: Drawing, place: int) -> None:
    middle = 8.0 + _SIDE + _NUMBERS
    x = middle - _NUMBERS / 2 if place % 2 else middle + _NUMBERS / 2
    drawing.text(x, _corner(place)[1] + 21, str(place), "small", anchor="middle")
