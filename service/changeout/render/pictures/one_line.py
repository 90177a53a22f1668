"""The supply as described, as a one-line diagram from its source to the panelboard."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from changeout.domain.calculation import Calculation
from changeout.domain.proposal import Proposal
from changeout.render.amounts import NOT_STATED, number_stated
from changeout.render.pictures import symbols
from changeout.render.pictures.drawing import LINE_HEIGHT, TEXT_SIZE, Drawing, wrapped
from changeout.render.pictures.fault_points import FAULT_CURRENT, FaultPoints, calculation_called
from changeout.render.pictures.one_line_parts import Part, main_lines, main_symbol, panelboard_lines, parts_of

_WIDTH: Final = 720.0
_WIRE: Final = 70.0
_TEXT: Final = 118.0
_POINT_INDENT: Final = 16.0
_LINE: Final = TEXT_SIZE * LINE_HEIGHT
_TEXT_WIDTH: Final = _WIDTH - _TEXT - 8.0
_TITLE: Final = "One-line diagram of the supply"


def one_line_diagram(
    proposal: Proposal, calculations: Sequence[Calculation] = (), *, stands_alone: bool = False
) -> str:
    """Return the supply as SVG, with impedances and fault currents where *calculations* has them."""
    points = FaultPoints(calculation_called(FAULT_CURRENT, calculations))
    drawing = Drawing("one-line", _WIDTH)
    said: list[str] = []
    y = 10.0
    for part in parts_of(proposal, points):
        y = _draw(drawing, part, points, y)
        said += [*part.lines, *([f"Available at {part.point}: {points.at(part.point)}"] if part.point else [])]
    said += _panelboard(drawing, proposal, points, y)
    return drawing.svg(_TITLE, f"From the source down. {'. '.join(said)}.", stands_alone=stands_alone)


def _draw(drawing: Drawing, part: Part, points: FaultPoints, y: float) -> float:
    lines = [piece for line in part.lines for piece in wrapped(line, _TEXT_WIDTH)]
    needed = len(lines) * _LINE
    top, symbol_height = y, 52.0 if part.symbol is not None else 0.0
    height = max(needed + 8.0, symbol_height)
    if part.symbol is None:
        end = symbols.wire(drawing, _WIRE, top, height, known=part.known)
    else:
        end = part.symbol(drawing, _WIRE, top)
        if end < top + height:
            end = symbols.wire(drawing, _WIRE, end, top + height - end)
    if part.grounded:
        drawing.line(_WIRE, end - 6, 24.0, end - 6)
        end = max(end, symbols.ground(drawing, 24.0, end - 6) - 12)
        end = symbols.wire(drawing, _WIRE, end - 6, 12.0)
    drawing.lines(_TEXT, top + max((height - needed) / 2, 0.0) + TEXT_SIZE, lines, "" if part.known else "quiet")
    return _point(drawing, part.point, points, end) if part.point else end


def _point(drawing: Drawing, point: str, points: FaultPoints, y: float) -> float:
    lines = wrapped(f"Available at {point}: {points.at(point)}", _TEXT_WIDTH - _POINT_INDENT, "strong")
    end = symbols.wire(drawing, _WIRE, y, max(len(lines) * _LINE, 20.0) + 8.0)
    at = y + TEXT_SIZE
    drawing.dot(_WIRE, at - 4, 4)
    drawing.line(_WIRE, at - 4, _TEXT + 2, at - 4, "faint")
    drawing.lines(_TEXT + _POINT_INDENT - 8, at, lines, "strong")
    return end


def _panelboard(drawing: Drawing, proposal: Proposal, points: FaultPoints, y: float) -> list[str]:
    """Draw the panelboard with its mains and bus; return what was said of it."""
    panelboard = proposal.panelboard
    y = _point(drawing, "panelboard", points, y)
    said = [f"Available at panelboard: {points.at('panelboard')}"]
    top = y
    lines = [*panelboard_lines(panelboard), *main_lines(panelboard.main)]
    if panelboard.second_main is not None:
        lines += [f"second {line}" for line in main_lines(panelboard.second_main)]
    lines += _others(proposal)
    symbol = main_symbol(panelboard.main)
    if symbol is None:
        inner = symbols.wire(drawing, _WIRE, top + 8, 30.0, known=panelboard.main.kind.stated)
    else:
        inner = symbol(drawing, _WIRE, top + 8)
    symbols.wire(drawing, _WIRE, top, 8)
    inner = symbols.wire(drawing, _WIRE, inner, 10)
    drawing.line(_WIRE - 45, inner, _WIRE + 25, inner, "bus")
    for place in range(4):
        x = _WIRE - 39 + place * 19.0
        drawing.line(x, inner, x, inner + 22)
    pieces = [piece for line in lines for piece in wrapped(line, _TEXT_WIDTH - 10)]
    bottom = max(inner + 32.0, top + 12.0 + len(pieces) * _LINE)
    drawing.box((12.0, top), _WIDTH - 20.0, bottom - top + 6.0)
    drawing.lines(_TEXT, top + TEXT_SIZE + 8, pieces)
    return [*said, *lines]


def _others(proposal: Proposal) -> list[str]:
    generation = proposal.generation
    if not generation.stated:
        return [f"other sources of power {NOT_STATED}"]
    return [
        f"other source: {source.kind.value or f'kind {NOT_STATED}'}, output "
        f"{number_stated(source.output_current_a, 'A')}, breaker {number_stated(source.breaker_rating_a, 'A')}"
        for source in generation
    ]
