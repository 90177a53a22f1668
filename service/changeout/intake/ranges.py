"""The physical range of every number that a proposal may state.

A value outside its range is refused, not clamped: it is a slip of the pen or a wrong unit, and no number to judge by.
A number that is not stated is carried through as anything in its range.
Source: common practice, no source. The ranges are drawn wide, so that no real installation falls outside.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from changeout.intake.quantity import (
    APPARENT_POWER,
    CONDUCTOR_IMPEDANCE,
    CURRENT,
    FLOOR_AREA,
    HEATING_POWER,
    LENGTH,
    RESISTANCE,
    SMALL_AREA,
    TEMPERATURE,
    TOTAL_LOAD,
    Family,
    read_quantity,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """The values a number can have, in base units, and the same in words; of a quantity also an example."""

    low: float
    high: float
    low_open: bool = False
    high_open: bool = False
    words: str
    example: str = ""

    def hold(self, value: float) -> bool:
        """Whether *value* lies within."""
        return (self.low < value if self.low_open else self.low <= value) and (
            value < self.high if self.high_open else value <= self.high
        )


def _counted(low: int, high: int) -> Bounds:
    return Bounds(low=low, high=high, words=f"from {low} to {high}")


def _number(low: float, high: float, unit: str = "") -> Bounds:
    return Bounds(low=low, high=high, words=f"from {low:g}{unit} to {high:g}{unit}")


def _between(family: Family, low: str, high: str, example: str) -> Bounds:
    return Bounds(
        low=read_quantity(low, family)[0],
        high=read_quantity(high, family)[0],
        words=f"from {low} to {high}",
        example=example,
    )


def _above(family: Family, low: str, high: str, example: str) -> Bounds:
    return Bounds(
        low=read_quantity(low, family)[0],
        high=read_quantity(high, family)[0],
        low_open=True,
        words=f"above {low} and up to {high}",
        example=example,
    )


CURRENT_RATING: Final = _above(CURRENT, "0 A", "6000 A", "200 A")
INTERRUPTING_RATING: Final = _above(CURRENT, "0 A", "300 kA", "22 kA")
FAULT_CURRENT: Final = _above(CURRENT, "0 A", "200 kA", "14 kA")
DISCHARGE_CURRENT: Final = _above(CURRENT, "0 A", "200 kA", "10 kA")
MOTOR_CURRENT: Final = _between(CURRENT, "0 A", "10 kA", "28 A")

TRANSFORMER_RATING: Final = _between(APPARENT_POWER, "0.5 kVA", "20 MVA", "75 kVA")
SHORT_CIRCUIT_POWER: Final = _between(APPARENT_POWER, "0.01 MVA", "100000 MVA", "150 MVA")
COUNTED_LOAD: Final = _between(APPARENT_POWER, "0 VA", "20 MVA", "7200 VA")
HEATER: Final = _between(HEATING_POWER, "0 W", "1000 kW", "10 kW")
LOADS: Final[Mapping[str, Bounds]] = {
    "A": _between(TOTAL_LOAD, "0 A", "6000 A", "40 A"),
    "VA": _between(TOTAL_LOAD, "0 VA", "20 MVA", "24 kVA"),
    "W": _between(TOTAL_LOAD, "0 W", "20000 kW", "12 kW"),
    "hp": Bounds(low=0.0, high=1000.0, words="from 0 hp to 1000 hp", example="5 hp"),
}

RUN_LENGTH: Final = Bounds(
    low=0.0,
    high=read_quantity("52800 ft", LENGTH)[0],
    low_open=True,
    high_open=True,
    words="above 0 ft and below 52800 ft (10 miles)",
    example="60 ft",
)
DIMENSION: Final = _above(LENGTH, "0 in", "100 ft", "36 in")
EXTENSION: Final = _between(LENGTH, "0 ft", "1000 ft", "4 ft")
DISTANCE: Final = _between(LENGTH, "0 ft", "5280 ft", "3 ft")
TAP_LENGTH: Final = _above(LENGTH, "0 ft", "5280 ft", "10 ft")
AIR_SPACE: Final = _between(LENGTH, "0 in", "10 ft", "0.25 in")

DWELLING_AREA: Final = _above(FLOOR_AREA, "0 ft2", "1000000 ft2", "2000 ft2")
WIRING_AREA: Final = _above(SMALL_AREA, "0 in2", "10000 in2", "60 in2")
FILLED_AREA: Final = _between(SMALL_AREA, "0 in2", "10000 in2", "20 in2")

ELECTRODE_RESISTANCE: Final = _above(RESISTANCE, "0 ohm", "10000 ohm", "25 ohm")
IMPEDANCE_OF_CONDUCTOR: Final = _above(CONDUCTOR_IMPEDANCE, "0 ohm/kft", "20 ohm/kft", "0.1 ohm/kft")

INSULATION_TEMPERATURE: Final = _between(TEMPERATURE, "60 degC", "250 degC", "75 degC")
TERMINATION_TEMPERATURE: Final = _between(TEMPERATURE, "60 degC", "150 degC", "75 degC")
AMBIENT_TEMPERATURE: Final = _between(TEMPERATURE, "0 degC", "85 degC", "30 degC")

IMPEDANCE_PERCENT: Final = _number(0.1, 20.0, " %")
X_OVER_R: Final = _number(0.05, 100.0)
MOTOR_MULTIPLIER: Final = _number(1.0, 10.0)
SHARE: Final = _number(0.0, 1.0)

POLES: Final = _counted(1, 6)
CIRCUIT_NUMBER: Final = _counted(1, 200)
MARKED_POLES: Final = _counted(1, 200)
TERMINALS: Final = _counted(0, 400)
WIRES: Final = _counted(1, 20)
OUTLETS: Final = _counted(0, 100)
SETS: Final = _counted(1, 20)
CONDUCTORS: Final = _counted(1, 200)
DISCONNECTS: Final = _counted(1, 50)
ENTRANCES: Final = _counted(0, 10)
DWELLING_CIRCUITS: Final = _counted(0, 20)
