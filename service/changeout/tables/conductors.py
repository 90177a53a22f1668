"""Conductor sizes in order, their areas, and their impedance in raceway."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Mapping
from typing import Final

from changeout.tables.load import TableError, table

SIZES: Final = (
    *("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "3 AWG", "2 AWG", "1 AWG"),
    *("1/0 AWG", "2/0 AWG", "3/0 AWG", "4/0 AWG"),
    *("250 kcmil", "300 kcmil", "350 kcmil", "400 kcmil", "500 kcmil", "600 kcmil", "700 kcmil", "750 kcmil"),
    *("800 kcmil", "900 kcmil", "1000 kcmil", "1250 kcmil", "1500 kcmil", "1750 kcmil", "2000 kcmil"),
)
"""Every size of the interface, in order of area."""

MATERIALS: Final = ("copper", "aluminum")
RACEWAYS: Final = ("steel", "aluminum", "nonmetallic")

_REACTANCE: Final = {
    "steel": "reactance_steel",
    "aluminum": "reactance_nonmetallic_or_aluminum",
    "nonmetallic": "reactance_nonmetallic_or_aluminum",
}


@functools.cache
def _areas_kcmil() -> Mapping[str, float]:
    return {row.text("size"): row.number("circular_mils") / 1000.0 for row in table("conductor_properties")}


def area_kcmil(size: str) -> float:
    """Return the area of a conductor of *size*, in thousands of circular mils.

    Raises:
        TableError: if there is no such size.

    Source: Chapter 9 Table 8, conductor_properties.toml.
    """
    area = _areas_kcmil().get(size)
    if area is None:
        raise TableError(f"conductor_properties.toml: no size {size}")
    return area


def ac_impedance(size: str, material: str, raceway: str) -> tuple[float, float] | None:
    """Return resistance and reactance to neutral in ohm per 1000 ft, or None where the table prints none.

    Three single conductors in a raceway (steel, aluminum or nonmetallic), 60 Hz, 75 degC, copper or aluminum.

    Raises:
        TableError: if there is no such size, material or raceway.

    Source: Chapter 9 Table 9, conductor_impedance.toml.
    """
    if size not in SIZES or material not in MATERIALS or raceway not in RACEWAYS:
        raise TableError(f"conductor_impedance.toml: no {size} {material} in {raceway}")
    return _impedances().get((size, material, raceway))


@functools.cache
def _impedances() -> Mapping[tuple[str, str, str], tuple[float, float]]:
    found = {}
    for row in table("conductor_impedance"):
        for material, raceway in itertools.product(MATERIALS, RACEWAYS):
            resistance = row.number_or_none(f"{material}_{raceway}")
            if resistance is not None:
                found[row.text("size"), material, raceway] = (resistance, row.number(_REACTANCE[raceway]))
    return found


def size_with_area_at_least(area: float) -> str | None:
    """Return the smallest size whose area in kcmil is *area* or more, or None above the greatest size."""
    return next((size for size in SIZES if area_kcmil(size) >= area), None)
