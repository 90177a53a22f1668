"""Sizes of grounding and bonding conductors."""

from __future__ import annotations

import math

from changeout.tables.conductors import MATERIALS, area_kcmil
from changeout.tables.load import Row, TableError, table


def electrode_conductor_size(supply_kcmil: float, supply_material: str, material: str) -> str:
    """Return the least grounding electrode conductor of *material* for an area of supply conductors.

    *supply_kcmil* is the area of the largest ungrounded conductor, or the sum of one conductor of each parallel set.

    Raises:
        TableError: if there is no such material.

    Source: Table 250.66, grounding_electrode.toml.
    """
    return _supply_row("grounding_electrode", supply_kcmil, supply_material, material).text(material)


def electrode_conductor_cap(electrode: str, material: str) -> str | None:
    """Return the size that the conductor to one kind of electrode alone need not exceed, or None where none is given.

    *electrode* is ``rod-pipe-plate``, ``concrete-encased`` or ``ground-ring``. For a ring the cap is the size of the
    ring itself, which no table has.

    Raises:
        TableError: if there is no such electrode or material.

    Source: 250.66(A) to (C), grounding_electrode.toml.
    """
    _known(material)
    for row in table("grounding_electrode").parts["caps"]:
        if row.text("electrode") == electrode:
            return row.text_or_none(material)
    raise TableError(f"grounding_electrode.toml: no electrode {electrode}")


def bonding_jumper_size(supply_kcmil: float, supply_material: str, material: str) -> str | None:
    """Return the least bonding jumper of *material* for an area of supply conductors.

    None above the table, where ``bonding_jumper_fraction`` of the supply area is asked instead.

    Raises:
        TableError: if there is no such material.

    Source: Table 250.102(C)(1), bonding_jumper.toml.
    """
    return _supply_row("bonding_jumper", supply_kcmil, supply_material, material).text_or_none(material)


def bonding_jumper_fraction() -> float:
    """Return the fraction of the supply area that a bonding jumper above the table has at least (12.5 % is 0.125).

    Source: Table 250.102(C)(1), notes 1 and 2, bonding_jumper.toml.
    """
    return table("bonding_jumper").rows[-1].number("percent_of_area") / 100.0


def bonding_jumper_greatest_size(material: str) -> str:
    """Return the greatest bonding jumper of *material* that the table prints.

    Raises:
        TableError: if there is no such material.
    """
    _known(material)
    return [row.text(material) for row in table("bonding_jumper") if material in row.cells][-1]


def equipment_grounding_size(device_a: float, material: str) -> str | None:
    """Return the least equipment grounding conductor for the rating of the device, or None above the table.

    Raises:
        TableError: if there is no such material.

    Source: Table 250.122, equipment_grounding.toml.
    """
    _known(material)
    for row in table("equipment_grounding"):
        if device_a <= row.number("device_through_a"):
            return row.text(material)
    return None


def _supply_row(name: str, supply_kcmil: float, supply_material: str, material: str) -> Row:
    _known(supply_material)
    _known(material)
    return next(row for row in table(name) if supply_kcmil <= _through_kcmil(row, supply_material))


def _through_kcmil(row: Row, supply_material: str) -> float:
    through = row.text_or_none(f"supply_{supply_material}_through")
    if through is None:
        return math.inf
    # 1100 kcmil, a limit of the table, is no size of the trade
    return float(through.removesuffix(" kcmil")) if through.endswith(" kcmil") else area_kcmil(through)


def _known(material: str) -> None:
    if material not in MATERIALS:
        raise TableError(f"there is no material {material}")
