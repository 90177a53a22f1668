"""What running motors add to a fault on their system."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from changeout.domain.facts import Fact, Number
from changeout.domain.interval import Interval
from changeout.domain.proposal import Supply
from changeout.domain.value import value
from changeout.electrical.network import CENTRE_TAPPED
from changeout.electrical.systems import SYSTEMS

USUAL_MULTIPLIER: Final = 4.0
"""Times full-load current: an induction motor of 25 % impedance. Source: forum thread on motor contribution."""

DWELLINGS: Final = frozenset({"one-family-dwelling", "two-family-dwelling", "multifamily-dwelling"})

_HALF: Final = 0.5
_ALL: Final = 1.0
MOTOR_SHARE: Final[Mapping[str, float]] = {
    "120/240V-1ph-3w": _HALF,
    "120/208V-1ph-3w": _HALF,
    "208Y/120V-3ph-4w": _HALF,
    "480Y/277V-3ph-4w": _HALF,
    "240/120V-3ph-4w-high-leg": _ALL,
    "240V-3ph-3w": _ALL,
    "480V-3ph-3w": _ALL,
}
"""The share of a system's full load that is taken as motors where nobody has said, outside dwellings.

208Y/120 V: half. 480Y/277 V: half, all of it in industry. 240 to 600 V without a neutral for lighting: all of it.
Source: forum thread on motor contribution. Single-phase systems as 208Y/120 V, and the high-leg bank as the delta:
by likeness, no source.
"""


@value(frozen=True, slots=True, kw_only=True)
class Motors:
    """The current that motors add to every fault on the panelboard's system, and what it rests on.

    ``full_load_a`` is what motors draw, stated or at the most. ``assumption`` is a sentence for the report, if any.
    """

    current_a: Interval
    full_load_a: Interval
    multiplier: float | Interval
    facts: tuple[Fact, ...]
    widening: tuple[Fact, ...] = ()
    assumption: str | None = None


def motors(supply: Supply, occupancy: str, busbar_rating_a: Number) -> Motors:
    """Return what motors add: multiplier (4 unless stated) times full-load current; unknown ones by ``MOTOR_SHARE``."""
    stated, factor = supply.motor_full_load_current_a, supply.motor_multiplier
    multiplier = factor.interval if factor.stated else Interval.exactly(USUAL_MULTIPLIER)
    facts: tuple[Fact, ...] = (stated, factor) if factor.stated else (stated,)
    if stated.stated:
        return Motors(
            current_a=multiplier * stated.interval, full_load_a=stated.interval, multiplier=multiplier, facts=facts
        )
    nothing = Interval.exactly(0.0)
    if occupancy in DWELLINGS:
        return Motors(
            current_a=nothing,
            full_load_a=nothing,
            multiplier=multiplier,
            facts=(stated,),
            assumption="Motors are not stated and are taken as none, as is usual in a dwelling.",
        )
    return _usual(supply, occupancy, busbar_rating_a, multiplier)


def _usual(supply: Supply, occupancy: str, busbar_rating_a: Number, multiplier: Interval) -> Motors:
    system = str(supply.system.value)
    share = _ALL if occupancy == "industrial" and system == "480Y/277V-3ph-4w" else MOTOR_SHARE[system]
    rating, most_a, of = _full_load(supply, system, busbar_rating_a)
    most_a *= share
    stated = supply.motor_full_load_current_a
    part = "half" if share == _HALF else "all"
    return Motors(
        current_a=Interval(0.0, multiplier.high * most_a),
        full_load_a=Interval(0.0, most_a),
        multiplier=multiplier,
        facts=(stated, *((supply.motor_multiplier,) if supply.motor_multiplier.stated else ()), rating),
        widening=(stated, *(() if rating.stated else (rating,))),
        assumption=(
            f"Motors are not stated: from none to {part} of {of}, {most_a:.0f} A at full load, as is usual for the "
            f"voltage, times {multiplier.high:g}."
        ),
    )


def _full_load(supply: Supply, system: str, busbar_rating_a: Number) -> tuple[Number, float, str]:
    volts = SYSTEMS[system].line_to_line_v
    va_per_a = volts if system == CENTRE_TAPPED else math.sqrt(3.0) * volts
    if supply.separately_derived is not None:
        rating = supply.separately_derived.rating_va
        return rating, rating.high / va_per_a, "what the transformer on the premises is rated for"
    if supply.source.kind.value == "transformer":
        rating = supply.source.rating_va
        return rating, rating.high / va_per_a, "what the transformer is rated for"
    return busbar_rating_a, busbar_rating_a.high, "the busbar's rating"
