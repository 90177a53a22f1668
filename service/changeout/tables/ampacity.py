"""Ampacity of conductors and what corrects it."""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from changeout.tables.conductors import MATERIALS, SIZES
from changeout.tables.load import TableError, section, table

COLUMNS_DEGC: Final = (60, 75, 90)
"""Insulation temperatures that the table has columns for."""


@functools.cache
def _ampacities() -> Mapping[tuple[str, str, int], float]:
    found = {}
    for row in table("ampacity"):
        for material in MATERIALS:
            for column in COLUMNS_DEGC:
                value = row.number_or_none(f"{material}_{column}c_a")
                if value is not None:
                    found[row.text("size"), material, column] = value
    return found


def ampacity_a(size: str, material: str, column_degc: int) -> float | None:
    """Return the ampacity in the table's column, in amperes, or None where it prints none.

    Not more than three current-carrying conductors, ambient 30 degC. Copper, or aluminum (copper-clad too).

    Raises:
        TableError: if there is no such size, material or column.

    Source: Table 310.16 (310.15(B)(16) in 2017), ampacity.toml.
    """
    if size not in SIZES or material not in MATERIALS or column_degc not in COLUMNS_DEGC:
        raise TableError(f"ampacity.toml: no {size} {material} at {column_degc} degC")
    return _ampacities().get((size, material, column_degc))


def ambient_factor(ambient_degc: float, column_degc: int) -> float | None:
    """Return the factor for the ambient temperature, or None where the column may not be used at all.

    A temperature between two printed bands takes the hotter one.

    Raises:
        TableError: if there is no such column.

    Source: Table 310.15(B)(1)(1) (310.15(B)(2)(a) in 2017), ambient_correction.toml.
    """
    if column_degc not in COLUMNS_DEGC:
        raise TableError(f"ambient_correction.toml: no column {column_degc} degC")
    return next((factor for through, factor in _ambient_factors()[column_degc] if ambient_degc <= through), None)


@functools.cache
def _ambient_factors() -> Mapping[int, tuple[tuple[float, float | None], ...]]:
    rows = table("ambient_correction").rows
    return {
        column: tuple((row.number("through_degc"), row.number_or_none(f"factor_{column}c")) for row in rows)
        for column in COLUMNS_DEGC
    }


@functools.cache
def hottest_ambient_degc() -> float:
    """Return the greatest ambient temperature of the table, in degC."""
    return max(row.number("through_degc") for row in table("ambient_correction"))


def conductor_count_factor(count: float) -> float:
    """Return the factor for *count* current-carrying conductors in one raceway or cable.

    Raises:
        TableError: if count is below one.

    Source: Table 310.15(C)(1) (310.15(B)(3)(a) in 2017), current_carrying_conductors.toml.
    """
    if count < 1:
        raise TableError(f"current_carrying_conductors.toml: no row for {count}")
    return next(factor for through, factor in _count_factors() if count <= through)


@functools.cache
def _count_factors() -> tuple[tuple[float, float], ...]:
    return tuple(
        (math.inf if (through := row.number_or_none("through_count")) is None else through, row.number("factor"))
        for row in table("current_carrying_conductors")
    )


def smallest_size(required_a: float, material: str, column_degc: int) -> str | None:
    """Return the smallest size whose ampacity in the column is *required_a* or more, or None beyond the table."""
    for size in SIZES:
        found = ampacity_a(size, material, column_degc)
        if found is not None and found >= required_a:
            return size
    return None


def dwelling_service_size(rating_a: float, material: str) -> str | None:
    """Return the printed size of dwelling service conductors for a rating, or None where none is printed.

    Raises:
        TableError: if there is no such material.

    Source: Table 310.12(A), dwelling_service.toml.
    """
    if material not in MATERIALS:
        raise TableError(f"dwelling_service.toml: no {material}")
    return next((row.text(material) for row in table("dwelling_service") if row.number("rating_a") == rating_a), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class AmpacitySections:
    """Where an edition has the tables that an ampacity comes from."""

    ampacity: str
    ambient: str
    conductor_count: str


def ampacity_sections(edition: str) -> AmpacitySections:
    """Return where *edition* has the tables that an ampacity comes from.

    Raises:
        TableError: if there is no such edition.
    """
    return AmpacitySections(
        ampacity=section("ampacity", edition),
        ambient=section("ambient_correction", edition),
        conductor_count=section("current_carrying_conductors", edition),
    )
