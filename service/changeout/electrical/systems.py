"""Supply systems: their voltages, and what power is in amperes on them."""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from typing import Final

from changeout.domain.facts import Measurement, merged
from changeout.domain.interval import Interval
from changeout.domain.proposal import Supply
from changeout.domain.value import value


@value(frozen=True, slots=True, kw_only=True)
class System:
    """A supply system by its nominal voltages.

    ``line_to_neutral_v`` is None where no neutral is brought along. ``high_leg_v`` is the voltage to ground of the
    leg of a centre-tapped delta that stands apart from the others.
    """

    name: str
    phases: int
    line_to_line_v: float
    line_to_neutral_v: float | None
    high_leg_v: float | None = None

    @property
    def is_three_phase(self) -> bool:
        """Whether it has three phases."""
        return self.phases == 3


_WYE_208: Final = 208.0 / math.sqrt(3.0)
_WYE_480: Final = 480.0 / math.sqrt(3.0)

SYSTEMS: Final[Mapping[str, System]] = {
    system.name: system
    for system in (
        System(name="120/240V-1ph-3w", phases=1, line_to_line_v=240.0, line_to_neutral_v=120.0),
        System(name="120/208V-1ph-3w", phases=1, line_to_line_v=208.0, line_to_neutral_v=_WYE_208),
        System(name="208Y/120V-3ph-4w", phases=3, line_to_line_v=208.0, line_to_neutral_v=_WYE_208),
        System(name="480Y/277V-3ph-4w", phases=3, line_to_line_v=480.0, line_to_neutral_v=_WYE_480),
        System(
            name="240/120V-3ph-4w-high-leg", phases=3, line_to_line_v=240.0, line_to_neutral_v=120.0, high_leg_v=208.0
        ),
        System(name="240V-3ph-3w", phases=3, line_to_line_v=240.0, line_to_neutral_v=None),
        System(name="480V-3ph-3w", phases=3, line_to_line_v=480.0, line_to_neutral_v=None),
    )
}


def amperes(va: float, name: str) -> float:
    """Return the current that *va* draws on the system called *name*, balanced, in amperes.

    Source: I = S / V for single-phase systems, line to line; I = S / (sqrt(3) V) for three-phase systems.
    """
    return va / va_per_ampere(name)


def va_per_ampere(name: str) -> float:
    """Return the volt-amperes of one ampere in each line of the system called *name*: V, or sqrt(3) V."""
    system = SYSTEMS[name]
    return math.sqrt(3.0) * system.line_to_line_v if system.is_three_phase else system.line_to_line_v


def ground_voltage_v(name: str, grounding: str | None) -> Interval:
    """Return the greatest nominal voltage to ground of the system called *name*, in volts.

    *grounding* is a word of ``supply.system_grounding``, or None where nobody has said. A system with a neutral is
    then taken as solidly grounded, as its neutral loads require; any other can be grounded in any way. Solidly
    grounded without a neutral: at the star point, or at the middle of one phase. Corner-grounded and ungrounded
    systems: line to line. Impedance-grounded ones too, since they go on running with one line at ground (safe side).

    Source: definition of voltage to ground, Article 100, from memory.
    """
    system = SYSTEMS[name]
    if grounding in {"corner-grounded", "impedance-grounded", "ungrounded"}:
        return Interval.exactly(system.line_to_line_v)
    if system.line_to_neutral_v is not None:
        return Interval.exactly(max(system.line_to_neutral_v, system.high_leg_v or 0.0))
    star_point = system.line_to_line_v / math.sqrt(3.0)
    if grounding == "solidly-grounded":
        return Interval(star_point, system.line_to_line_v * math.sqrt(3.0) / 2.0)
    return Interval(star_point, system.line_to_line_v)


def voltage_to_ground(supply: Supply) -> Measurement:
    """Return the greatest nominal voltage to ground of the supply, in volts; over every system where none is stated."""
    names = (supply.system.value,) if supply.system.value is not None else tuple(SYSTEMS)
    found = [ground_voltage_v(name, supply.system_grounding.value) for name in names]
    interval = functools.reduce(Interval.hull, found)
    facts = (supply.system, supply.system_grounding)
    missing = () if interval.is_point else merged(*(fact.missing for fact in facts))
    return Measurement(interval, merged(*(fact.inputs for fact in facts)), missing)
