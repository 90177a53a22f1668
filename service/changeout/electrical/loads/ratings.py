"""What a load stated in amperes, volt-amperes, watts or horsepower is on a supply system."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from changeout.domain.facts import Choice, PowerOrCurrent
from changeout.domain.interval import Interval
from changeout.electrical.loads.parts import ANY_LOAD, Part
from changeout.electrical.steps import shown
from changeout.electrical.systems import SYSTEMS, va_per_ampere
from changeout.tables.load import section
from changeout.tables.motors import full_load_current_a

WATTS_PER_HORSEPOWER: Final = 745.7
"""Source: definition of the mechanical horsepower, 550 foot-pounds a second."""

AT_POWER_FACTOR_ONE: Final = "Watts count as volt-amperes, at power factor 1."
IN_EVERY_LINE: Final = "A load stated in amperes counts as that current in every line of the supply."
MOTOR_TABLES: Final = "A motor stated in horsepower draws the full-load current of the table for the supply's voltage."

_OF_SYSTEM: Final = frozenset({"A", "hp"})
_SAID: Final = {"W": AT_POWER_FACTOR_ONE, "A": IN_EVERY_LINE, "hp": MOTOR_TABLES}


def possible_systems(system: Choice) -> tuple[str, ...]:
    """Return the names of the supply systems that it can be: every one where none is stated."""
    return (system.value,) if system.value is not None else tuple(SYSTEMS)


def depends_on_system(*loads: PowerOrCurrent) -> bool:
    """Whether any of the loads is another number of volt-amperes on another system."""
    return any(load.unit in _OF_SYSTEM for load in loads)


def load_va(load: PowerOrCurrent, system: str) -> Interval:
    """Return what *load* is on *system*, in VA; anything at all where it is not stated.

    Watts count at power factor 1. Amperes count in every line. A motor in horsepower draws its full-load current; one
    above the table draws its shaft power at least.
    """
    if load.value is None:
        return ANY_LOAD
    if load.unit == "A":
        return Interval.exactly(load.value * va_per_ampere(system))
    if load.unit == "hp" and load.value > 0.0:
        current_a = _motor_current_a(load.value, system)
        if current_a is None:
            return Interval(load.value * WATTS_PER_HORSEPOWER, math.inf)
        return Interval.exactly(current_a * va_per_ampere(system))
    return Interval.exactly(load.value)


def is_beyond_table(load: PowerOrCurrent, systems: Sequence[str]) -> bool:
    """Whether *load* is a motor in horsepower that the table of full-load currents does not reach on some system."""
    return load.unit == "hp" and any(not load_va(load, system).is_bounded for system in systems)


def load_a(load: PowerOrCurrent, system: str) -> Interval:
    """Return what *load* is on *system*, in amperes. A load stated in amperes is that number, whatever the system."""
    if load.unit == "A" and load.value is not None:
        return Interval.exactly(load.value)
    return load_va(load, system) / va_per_ampere(system)


def conversion_part(symbol: str, name: str, load: PowerOrCurrent, system: str, edition: str) -> Part | None:
    """Return the line that turns *load* into VA, or None where it is already in VA or watts, nothing, or not stated."""
    stated, unit = load.value, load.unit
    if not stated or unit not in _OF_SYSTEM:
        return None
    if unit == "A":
        return Part(
            symbol=symbol,
            name=name,
            expression=lambda: f"{shown(stated)} A x {volts_written(system)}",
            value=load_va(load, system),
            source="S = V I",
        )
    current_a = _motor_current_a(stated, system)
    written = (
        f"{shown(stated)} hp, beyond the table: {shown(stated)} x {shown(WATTS_PER_HORSEPOWER)} W at least"
        if current_a is None
        else f"{shown(stated)} hp: {shown(current_a)} A x {volts_written(system)}"
    )
    return Part(
        symbol=symbol,
        name=name,
        expression=lambda: written,
        value=load_va(load, system),
        source=section(_motor_table(system), edition),
    )


def volts_written(system: str) -> str:
    """Return the volt-amperes of one ampere as they are computed by hand: ``240 V``, ``1.732 x 208 V``."""
    volts = f"{shown(SYSTEMS[system].line_to_line_v)} V"
    return f"{shown(math.sqrt(3.0))} x {volts}" if SYSTEMS[system].is_three_phase else volts


def assumptions(*loads: PowerOrCurrent) -> tuple[str, ...]:
    """Return the sentences that say how the loads are read, by the units they are stated in."""
    units = {load.unit for load in loads}
    return tuple(sentence for unit, sentence in _SAID.items() if unit in units)


def _motor_current_a(horsepower: float, system: str) -> float | None:
    found = SYSTEMS[system]
    return full_load_current_a(horsepower, found.phases, found.line_to_line_v)


def _motor_table(system: str) -> str:
    return "motor_three_phase" if SYSTEMS[system].is_three_phase else "motor_single_phase"
