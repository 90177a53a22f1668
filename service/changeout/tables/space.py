"""Working space in front of equipment, and space for bending conductors inside it. Lengths in inches."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from changeout.tables.load import Row, TableError, table

_SIDE: Final = ("one", "two", "three", "four", "five")
_OPPOSITE: Final = ("one", "two", "three", "four_or_more")


def working_space_depth_in(volts_to_ground: float, condition: int) -> float | None:
    """Return the least depth of working space, or None above the table's voltages.

    Raises:
        TableError: if there is no such condition (1 to 3).

    Source: Table 110.26(A)(1), working_space.toml.
    """
    if condition not in {1, 2, 3}:
        raise TableError(f"working_space.toml: no condition {condition}")
    for row in table("working_space"):
        if volts_to_ground <= row.number("through_v"):
            return row.number(f"condition_{condition}_in")
    return None


def working_space_condition(opposite: str) -> int:
    """Return the condition by what stands opposite: ``insulated`` 1, ``grounded`` 2, ``live`` 3.

    Raises:
        TableError: if there is no such word.
    """
    for row in table("working_space").parts["conditions"]:
        if row.text("opposite") == opposite:
            return int(row.number("condition"))
    raise TableError(f"working_space.toml: nothing is said of {opposite}")


def working_space_least_in(dimension: str) -> float:
    """Return the least ``width`` or ``height`` of working space; the equipment's own governs where it is greater.

    Raises:
        TableError: if there is no such dimension.

    Source: 110.26(A)(2) and (3), working_space.toml.
    """
    for row in table("working_space").parts["other_dimensions"]:
        if row.text("what") == dimension:
            return row.number("least_in")
    raise TableError(f"working_space.toml: no dimension {dimension}")


def side_bending_space_in(size: str, wires: int) -> float | None:
    """Return the space where conductors do not pass the wall opposite their terminals, or None where none is printed.

    Raises:
        TableError: if there is no such size, or wires is below one.

    Source: Table 312.6(A), wire_bending_side.toml.
    """
    if wires > len(_SIDE):
        return None
    return _cell("wire_bending_side", size, f"{_word(_SIDE, wires)}_in", "sizes")


def opposite_bending_space_in(size: str, wires: int, *, compact_aluminum: bool = False) -> float | None:
    """Return the space where conductors pass the wall opposite their terminals, or None where none is printed.

    *compact_aluminum*: compact-stranded AA-8000 aluminum, which has its own column of sizes.

    Raises:
        TableError: if there is no such size, or wires is below one.

    Source: Table 312.6(B)(2), wire_bending_opposite.toml.
    """
    column = "compact_aluminum" if compact_aluminum else "sizes"
    return _cell("wire_bending_opposite", size, f"{_word(_OPPOSITE, wires)}_in", column)


def opposite_bending_reduction_in(size: str, wires: int) -> float:
    """Return what that space may be less by with removable or lay-in terminals for one wire (zero: nothing).

    Raises:
        TableError: if there is no such size, or wires is below one.

    Source: Table 312.6(B)(2), notes, from memory, wire_bending_opposite.toml.
    """
    return _cell("wire_bending_opposite", size, f"{_word(_OPPOSITE, wires)}_less_in", "sizes") or 0.0


def _word(words: Sequence[str], wires: int) -> str:
    if wires < 1:
        raise TableError(f"no column for {wires} wires per terminal")
    return words[min(wires, len(words)) - 1]


def _cell(name: str, size: str, column: str, sizes: str) -> float | None:
    rows = [row for row in table(name) if size in _sizes(row, sizes)]
    if not rows:
        raise TableError(f"{name}.toml: no size {size}")
    return next((row.number(column) for row in rows if column in row.cells), None)


def _sizes(row: Row, column: str) -> tuple[str, ...]:
    return row.texts(column) if column in row.cells else ()
