"""Working space in front of a panelboard and bending space inside it, in inches with bounds."""

from __future__ import annotations

import math
from typing import Final

from changeout.domain.facts import Choice, Claim, ConductorSize, Measured, Measurement, Number, fixed, greatest_of
from changeout.domain.interval import Interval
from changeout.electrical.bounds import hull_of, resting_on
from changeout.tables.conductors import SIZES
from changeout.tables.space import (
    opposite_bending_space_in,
    side_bending_space_in,
    working_space_condition,
    working_space_depth_in,
    working_space_least_in,
)

_OPPOSITE: Final = ("insulated", "grounded", "live")
_MOST_WIRES: Final = 6
"""More wires per terminal than any column of the tables tells apart."""


def working_space_depth(voltage_to_ground: Measured, opposite: Choice) -> Measurement:
    """Return the least depth of working space; infinite above the table's voltages.

    Source: Table 110.26(A)(1).
    """
    words = _OPPOSITE if opposite.value is None else (opposite.value,)
    found = [
        Interval.exactly(_or_no_end(working_space_depth_in(volts, working_space_condition(word))))
        for volts in (voltage_to_ground.low, voltage_to_ground.high)
        for word in words
    ]
    return resting_on(hull_of(found), voltage_to_ground, opposite)


def working_space_width(equipment_width: Number) -> Measurement:
    """Return the least width of working space: the printed one, or that of the equipment where it is greater.

    Source: 110.26(A)(2).
    """
    return greatest_of(fixed(working_space_least_in("width")), equipment_width)


def working_space_height(equipment_top: Number) -> Measurement:
    """Return the least height of working space: the printed one, or the top of the equipment where it is greater.

    Source: 110.26(A)(3).
    """
    return greatest_of(fixed(working_space_least_in("height")), equipment_top)


def bending_space_in(size: str, wires: int, *, through_opposite_wall: bool) -> Interval:
    """Return the least bending space at a terminal.

    Zero for one wire of a size that the tables give no space for; not known for several wires that no column has.

    Source: Tables 312.6(A) and 312.6(B)(2).
    """
    table = opposite_bending_space_in if through_opposite_wall else side_bending_space_in
    printed = table(size, wires)
    if printed is None:
        return Interval.exactly(0.0) if wires == 1 else Interval(0.0, math.inf)
    return Interval.exactly(printed)


def bending_space(size: ConductorSize, wires: Number, opposite_wall: Claim) -> Measurement:
    """Return the least bending space at a terminal, over every size, number of wires and wall that is left open.

    *opposite_wall*: the conductors pass the wall opposite their terminals.
    """
    counts = range(max(1, int(wires.low)), int(min(wires.high, _MOST_WIRES)) + 1) or (int(wires.low),)
    walls = [wall for wall, ruled_out in ((True, opposite_wall.fails), (False, opposite_wall.holds)) if not ruled_out]
    sizes = SIZES if size.value is None else (size.value,)
    found = [
        bending_space_in(s, count, through_opposite_wall=wall) for s in sizes for count in counts for wall in walls
    ]
    return resting_on(hull_of(found), size, wires, opposite_wall)


def _or_no_end(value: float | None) -> float:
    return math.inf if value is None else value
