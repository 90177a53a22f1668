"""The trade's point-to-point method, for comparison with the sum of R + jX, never for a verdict.

It adds magnitudes, so on the same ohms it is never above the complex sum: 0 to 20 % below it, on the unsafe side.
Its printed constants stand for less impedance than the table's at 75 degC, which usually makes up for that.
"""

from __future__ import annotations

import math
from typing import Final, Literal

FaultType = Literal["three-phase", "line to line", "line to neutral"]

NEUTRAL_OVER_LINES: Final = 1.5
"""Line to neutral over line to line at a centre-tapped transformer's terminals, as the method takes it."""

_LENGTHS: Final[dict[FaultType, float]] = {
    "three-phase": math.sqrt(3.0),
    "line to line": 2.0,
    "line to neutral": 2.0,
}


def transformer_terminals_a(full_load_a: float, impedance_percent: float) -> float:
    """Return the current at a transformer's terminals, unlimited primary: full-load current x 100 / %Z.

    Raises:
        ValueError: if *impedance_percent* is not above zero.
    """
    if impedance_percent <= 0.0:
        raise ValueError(f"percent impedance must be above zero: {impedance_percent}")
    return full_load_a * 100.0 / impedance_percent


def behind_source_a(terminals_a: float, source_a: float) -> float:
    """Return the current at a transformer's terminals behind a source that alone would give *source_a* there."""
    return terminals_a * source_a / (terminals_a + source_a)


def conductor_constant(resistance_ohm_per_kft: float, reactance_ohm_per_kft: float) -> float:
    """Return the method's constant C of a conductor: 1000 ft over the magnitude of its ohms."""
    return 1000.0 / math.hypot(resistance_ohm_per_kft, reactance_ohm_per_kft)


def end_of_run_a(start_a: float, fault: FaultType, length_ft: float, constant: float, voltage_v: float) -> float:
    """Return the current at the end of a run: I M, with f = a L I / (C E) and M = 1 / (1 + f).

    *constant* is C times the number of sets. *voltage_v* is line to line, or line to neutral in a fault to neutral.
    """
    factor = _LENGTHS[fault] * length_ft * start_a / (constant * voltage_v)
    return start_a / (1.0 + factor)
