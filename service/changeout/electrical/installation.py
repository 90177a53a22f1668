"""What is known of conductors as installed and of the terminals at their ends."""

from __future__ import annotations

import bisect
from typing import Final

from changeout.domain.facts import Choice, ConductorSize, Measured, Number
from changeout.domain.proposal import CircuitConductor, Run
from changeout.domain.value import value
from changeout.tables.ampacity import COLUMNS_DEGC, hottest_ambient_degc

TABLE_AMBIENT_DEGC: Final = 30.0
"""Ambient temperature that the table of ampacities is printed for."""

TABLE_CONDUCTORS: Final = 3.0
"""Most current-carrying conductors that the table of ampacities is printed for."""


def column_for(temperature_degc: float) -> int:
    """Return the column for conductors or terminals of a temperature between two columns: the lower one.

    Zero below the lowest column: none of the table's ampacities holds.
    """
    place = bisect.bisect_right(COLUMNS_DEGC, temperature_degc)
    return COLUMNS_DEGC[place - 1] if place else 0


@value(frozen=True, slots=True, kw_only=True)
class Terminals:
    """The terminals at the ends of conductors, and which column of the table they allow.

    ``marked_degc`` is what they are marked for. Not marked, they allow ``low_column_degc`` on circuits through
    ``through_a`` and ``high_column_degc`` above. No marking allows more than ``high_column_degc``: what is marked
    higher are separate connectors, while a panelboard and its breakers are proved with that column (from memory).

    Source of the limits: 110.14(C)(1), from memory.
    """

    marked_degc: Number
    circuit_a: Measured
    low_column_degc: int = 60
    high_column_degc: int = 75
    through_a: float = 100.0

    @property
    def marked_above(self) -> bool:
        """Whether they are marked for more than any marking allows here."""
        return self.marked_degc.value is not None and self.marked_degc.value > self.high_column_degc

    @property
    def columns(self) -> tuple[int, ...]:
        """The columns that can be the limit."""
        if self.marked_degc.value is not None:
            return (column_for(min(self.marked_degc.value, self.high_column_degc)),)
        both = (self.low_column_degc, self.high_column_degc)
        # a circuit of 100 A or less: nobody says whether the terminals are marked for more
        return both if self.circuit_a.low <= self.through_a else (self.high_column_degc,)


@value(frozen=True, slots=True, kw_only=True)
class Axis:
    """The values that one thing about the conductors can have, and the members that say it."""

    values: tuple[float, ...]
    inputs: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


@value(frozen=True, slots=True, kw_only=True)
class Conductors:
    """Conductors of one kind: what is known of each thing that their ampacity depends on."""

    at: str
    size: ConductorSize
    material: Choice
    insulation_degc: Number
    ambient: Axis
    count: Axis
    sets: Axis
    assumptions: tuple[str, ...] = ()


def conductors_of_run(run: Run) -> Conductors:
    """Return what the ampacity of a run depends on.

    An ambient temperature that is not stated is anywhere in the bands of the table; a stated one is as stated.
    """
    ambient = run.ambient_temperature_degc
    hottest = ambient.high if ambient.stated else min(ambient.high, hottest_ambient_degc())
    return Conductors(
        at=run.at,
        size=run.size,
        material=run.material,
        insulation_degc=run.insulation_temperature_degc,
        ambient=Axis(values=_ends(ambient.low, hottest), inputs=ambient.inputs, missing=ambient.missing),
        count=_axis(run.current_carrying_conductors),
        sets=_axis(run.sets),
    )


_TABLE_AMBIENT: Final = Axis(values=(TABLE_AMBIENT_DEGC,))
_TABLE_COUNT: Final = Axis(values=(TABLE_CONDUCTORS,))
_ONE_SET: Final = Axis(values=(1.0,))
_AS_IN_THE_TABLE: Final = ("branch conductors: ambient 30 degC and not more than three current-carrying conductors",)


def conductors_of_circuit(conductor: CircuitConductor) -> Conductors:
    """Return what the ampacity of a branch circuit depends on, at the conditions the table is printed for."""
    return Conductors(
        at=conductor.at,
        size=conductor.size,
        material=conductor.material,
        insulation_degc=conductor.insulation_temperature_degc,
        ambient=_TABLE_AMBIENT,
        count=_TABLE_COUNT,
        sets=_ONE_SET,
        assumptions=_AS_IN_THE_TABLE,
    )


def _axis(number: Number) -> Axis:
    return Axis(values=_ends(number.low, number.high), inputs=number.inputs, missing=number.missing)


def _ends(low: float, high: float) -> tuple[float, ...]:
    return (low,) if low == high else (low, high)
