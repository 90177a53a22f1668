"""Overcurrent devices: standard ratings, and the greatest device that conductors permit. All in amperes.

Lists of ratings go from the least to the greatest.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Mapping, Sequence

from changeout.domain.facts import Choice, ConductorSize, Measured, Measurement
from changeout.domain.interval import Interval
from changeout.electrical.bounds import resting_on
from changeout.tables.conductors import MATERIALS, SIZES


def next_standard_rating_a(current_a: float, ratings: Sequence[float]) -> float:
    """Return the least standard rating that is *current_a* or more; infinite above the greatest."""
    place = bisect.bisect_left(ratings, current_a)
    return ratings[place] if place < len(ratings) else math.inf


def standard_rating_within_a(current_a: float, ratings: Sequence[float]) -> float:
    """Return the greatest standard rating that is *current_a* or less; zero below the least."""
    place = bisect.bisect_right(ratings, current_a)
    return ratings[place - 1] if place else 0.0


def permitted_rating_a(ampacity_a: float, ratings: Sequence[float], round_up_through_a: float) -> float:
    """Return the greatest standard rating that conductors of *ampacity_a* permit.

    Rounding up ends at *round_up_through_a*: above it, or with zero, the rating stays within the ampacity.

    Source: 240.4(B) and (C).
    """
    above = next_standard_rating_a(ampacity_a, ratings)
    return above if above <= round_up_through_a else standard_rating_within_a(ampacity_a, ratings)


def greatest_device(ampacity: Measured, ratings: Sequence[float], round_up_through_a: float) -> Measurement:
    """Return the greatest device that conductors permit, with bounds: the permitted rating, or the ampacity itself.

    An adjustable device may be set to the ampacity, which need not be a standard rating.

    Source: 240.4(B) and (C).
    """
    low, high = (
        max(end, permitted_rating_a(end, ratings, round_up_through_a)) for end in (ampacity.low, ampacity.high)
    )
    return resting_on(Interval(low, high), ampacity)


def small_conductor_limit(
    size: ConductorSize, material: Choice, limits: Mapping[tuple[str, str], float]
) -> Measurement:
    """Return the greatest device for a small conductor, with bounds; infinite for a size that has no such limit.

    *limits* holds the edition's printed limits by size and material. A size that has a limit in another material
    only is permitted no device at all.

    Source: 240.4(D).
    """
    small = {s for s, _ in limits}
    found = [
        limits.get((s, m), 0.0 if s in small else math.inf)
        for s in (SIZES if size.value is None else (size.value,))
        for m in (MATERIALS if material.value is None else (material.value,))
    ]
    return resting_on(Interval(min(found), max(found)), size, material)
