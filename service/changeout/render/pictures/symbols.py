"""Graphic symbols of one-line diagrams, on a vertical wire, in the manner of IEEE 315 / ANSI Y32.2.

Source: from memory, unreviewed. Each function draws at a wire and returns how far down the symbol reaches.
"""

from __future__ import annotations

from typing import Final

from changeout.render.pictures.drawing import Drawing

HALF: Final = 17.0
"""Half the width of a symbol."""

_LOOP: Final = 8.5
_GAP: Final = 20.0
_STEP: Final = 5.0


def source(drawing: Drawing, x: float, y: float) -> float:
    """Draw a source of alternating current: a circle with one wave."""
    drawing.dot(x, y + HALF, HALF, "box")
    drawing.path(
        f"M {x - 9:g} {y + HALF:g} q 4.5 -11 9 0 q 4.5 11 9 0",
        y + HALF,
    )
    return y + 2 * HALF


def transformer(drawing: Drawing, x: float, y: float) -> float:
    """Draw a transformer: two windings that face each other."""
    top, bottom = y + 16.0, y + 34.0
    left = x - 3 * _LOOP
    loops = f"a {_LOOP:g} {_LOOP:g} 0 0 0 {2 * _LOOP:g} 0 " * 3
    drawing.line(x, y, x, top)
    drawing.path(f"M {left:g} {top:g} {loops}", top + _LOOP)
    back = f"a {_LOOP:g} {_LOOP:g} 0 0 1 {2 * _LOOP:g} 0 " * 3
    drawing.path(f"M {left:g} {bottom:g} {back}", bottom)
    drawing.line(x, bottom, x, bottom + 16.0)
    return bottom + 16.0


def breaker(drawing: Drawing, x: float, y: float) -> float:
    """Draw a circuit breaker: a break in the wire that an arc spans."""
    drawing.line(x, y, x, y + 8)
    drawing.dot(x, y + 8, 2.5)
    drawing.path(f"M {x:g} {y + 8:g} a 13 13 0 0 1 0 {_GAP:g}", y + 8 + _GAP)
    drawing.dot(x, y + 8 + _GAP, 2.5)
    drawing.line(x, y + 8 + _GAP, x, y + 16 + _GAP)
    return y + 16 + _GAP


def fuse(drawing: Drawing, x: float, y: float) -> float:
    """Draw a fuse: a rectangle that the wire passes through."""
    drawing.line(x, y, x, y + 16 + _GAP)
    drawing.box((x - 6, y + 7), 12, _GAP + 2)
    return y + 16 + _GAP


def ground(drawing: Drawing, x: float, y: float) -> float:
    """Draw a ground: three lines, each shorter than the one above."""
    drawing.line(x, y, x, y + 8)
    for place, half in enumerate((11.0, 7.0, 3.0)):
        drawing.line(x - half, y + 8 + place * _STEP, x + half, y + 8 + place * _STEP)
    return y + 8 + 2 * _STEP


def wire(drawing: Drawing, x: float, y: float, length: float, *, known: bool = True) -> float:
    """Draw a piece of conductor, dashed where nobody has said what it is."""
    drawing.line(x, y, x, y + length, "wire" if known else "unknown")
    return y + length
