"""Full-load current of motors and the devices of their circuits."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from changeout.tables.load import TableError, table

_TABLES: Final = {1: "motor_single_phase", 3: "motor_three_phase"}
_MOTOR_VOLTS: Final = {120.0: 115, 208.0: 208, 240.0: 230, 480.0: 460, 600.0: 575}


def full_load_current_a(horsepower: float, phases: int, system_v: float) -> float | None:
    """Return the full-load current of a motor on a system of *system_v* (120, 208, 240, 480, 600), in amperes.

    A rating between two rows takes the greater one. None above the table, or where it prints no current.

    Raises:
        TableError: if there is no table for the phases, or no column for the voltage.

    Source: Tables 430.248 and 430.250, motor_single_phase.toml and motor_three_phase.toml.
    """
    volts = _MOTOR_VOLTS.get(system_v)
    if phases not in _TABLES or volts is None or (phases == 1 and volts > 230):
        raise TableError(f"no motor current for {phases} phases at {system_v} V")
    for row in table(_TABLES[phases]):
        if horsepower <= rated_horsepower(row.text("horsepower")):
            return row.number_or_none(f"at_{volts}v_a")
    return None


def rated_horsepower(printed: str) -> float:
    """Return the number of a printed rating: ``7-1/2`` is 7.5."""
    whole, _, part = printed.rpartition("-")
    return float(Fraction(part) + (Fraction(whole) if whole else 0))


def device_percent(motor: str, device: str) -> float:
    """Return the greatest rating of a motor circuit's *device*, in percent of the full-load current.

    Raises:
        TableError: if there is no such motor or device.

    Source: Table 430.52(C)(1), motor_device.toml.
    """
    for row in table("motor_device"):
        if row.text("motor") == motor:
            return row.number(f"{device}_percent")
    raise TableError(f"motor_device.toml: no motor {motor}")
