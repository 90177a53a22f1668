"""Where a circuit stands on the busbar: which legs it takes.

Odd positions are on the left, even ones on the right; each row is one leg, and the legs follow in order from the top.
Source: common practice, no source.
"""

from __future__ import annotations

import math

from changeout.domain.facts import Listed, Measurement, both, sum_of
from changeout.domain.interval import Interval
from changeout.domain.proposal import Circuit

LEGS = ("a", "b", "c")


def legs_taken(number: int, poles: int, phases: int) -> tuple[str, ...]:
    """Return the legs that a circuit takes: of *poles* poles, its first in position *number*.

    *phases* is 3 for three-phase systems; any other busbar has two legs.

    Raises:
        ValueError: if number or poles is below 1.
    """
    if number < 1 or poles < 1:
        raise ValueError("positions and poles are counted from 1")
    order = LEGS if phases == 3 else LEGS[:2]
    row = (number + 1) // 2 - 1
    return tuple(order[(row + step) % len(order)] for step in range(poles))


def poles_taken(circuits: Listed[Circuit]) -> Measurement:
    """Return how many poles the circuits take together; without a bound where they are not stated."""
    if not circuits.stated:
        return Measurement(Interval(0.0, math.inf), circuits.inputs, circuits.missing)
    total = sum_of(circuit.poles for circuit in circuits)
    return Measurement(total.interval, both(circuits.inputs, total.inputs), total.missing)
