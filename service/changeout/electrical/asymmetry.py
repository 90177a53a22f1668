"""The offset of a fault current's first crest against the circuit that a breaker was tested in.

A breaker's rating is symmetrical and proven at a test power factor. Where the network's X/R is higher, the first
crest is higher than tested. For a caution that names X/R, not for a verdict: the code speaks of the rating alone.

Source: Tri-Service Electrical Working Group, technical paper TP-6 (2008), tables 1 and 2 (test power factors); an
engineering knowledge-base article (bracket of the crest, a half-cycle approximation).
"""

from __future__ import annotations

import math
from typing import Final

_UP_TO_10_KA: Final = 0.5
_UP_TO_20_KA: Final = 0.3
_ABOVE_20_KA: Final = 0.2
_POWER_BREAKER: Final = 0.15
_FUSED_POWER_BREAKER: Final = 0.2

_MOLDED: Final = frozenset({"molded-case", "insulated-case"})
TESTED_CLASSES: Final = ("molded-case", "insulated-case", "power")
"""The classes of breakers that have a test circuit here."""


def x_over_r_of_power_factor(power_factor: float) -> float:
    """Return X/R of a circuit of the given power factor, above zero and at most one.

    Raises:
        ValueError: if it is outside that range.
    """
    if not 0.0 < power_factor <= 1.0:
        raise ValueError(f"power factor must be above zero and at most one: {power_factor}")
    return math.sqrt(1.0 / (power_factor * power_factor) - 1.0)


def x_over_r_of_test(device_class: str, interrupting_rating_a: float, *, fused: bool = False) -> float | None:
    """Return the least X/R of the circuit a breaker of the class was tested in; None for a class without a figure.

    Molded-case breakers by interrupting rating: up to 10,000 A, up to 20,000 A, above. Insulated-case breakers are
    tested as molded-case ones (from memory). Power breakers: with fuses or without.
    """
    if device_class == "power":
        return x_over_r_of_power_factor(_FUSED_POWER_BREAKER if fused else _POWER_BREAKER)
    if device_class not in _MOLDED:
        return None
    if interrupting_rating_a <= 10_000.0:
        return x_over_r_of_power_factor(_UP_TO_10_KA)
    return x_over_r_of_power_factor(_UP_TO_20_KA if interrupting_rating_a <= 20_000.0 else _ABOVE_20_KA)


def crest_a(current_a: float, x_over_r: float) -> float:
    """Return the first crest of a fault current: sqrt(2) I (1 + e^(-pi / k)), k its X/R."""
    return math.sqrt(2.0) * current_a * _offset(x_over_r)


def multiplying_factor(x_over_r: float, tested: float) -> float:
    """Return what to multiply a fault current by before comparing it with the rating: 1 up to the X/R *tested*."""
    return max(1.0, _offset(x_over_r) / _offset(tested))


def _offset(x_over_r: float) -> float:
    return 1.0 + (math.exp(-math.pi / x_over_r) if x_over_r > 0.0 else 0.0)
