"""The source of a supply as impedances: a transformer and what lies before it, or a current that somebody stated."""

from __future__ import annotations

import math
from typing import Final

from changeout.domain.facts import Fact
from changeout.domain.interval import Interval
from changeout.domain.proposal import SeparatelyDerived, Source, Upstream
from changeout.domain.value import value
from changeout.electrical.impedance import ANYTHING, NOTHING, Impedance, polar
from changeout.electrical.network import (
    CENTRE_TAPPED,
    FAULTS,
    LINE_TO_NEUTRAL,
    Role,
    source_ohm,
    transformer_ohm,
)
from changeout.electrical.systems import SYSTEMS

TOLERANCE: Final = 0.9
"""How much of the nameplate impedance a transformer may really have: the trade's usual allowance of 10 %, read in a
forum thread on impedance tolerance and in a manufacturer's published short-circuit handbook (title withheld)."""

NEUTRAL_OVER_LINES: Final = 1.67
"""The greatest line-to-neutral current over the line-to-line one at a centre-tapped unit's terminals, unlimited
primary: 2 / 1.2 rounded up. Source: the same handbook, note on single-phase centre-tapped transformers."""

BANKS_WITHOUT_ONE_RATING: Final = ("open-delta", "unequal-units")
"""Banks that one rating and one impedance do not describe: nothing is computed of them. Source: circuit theory."""

_ANY: Final = Interval(0.0, math.inf)
_THREE_PHASE_OVER_TWO_LINES: Final = 2.0 / math.sqrt(3.0)

LINES_OVER_NEUTRAL: Final = {
    "120/240V-1ph-3w": Interval(1.0 / NEUTRAL_OVER_LINES, 2.0),
    "120/208V-1ph-3w": Interval(2.0 / 3.0, 2.0),
    "208Y/120V-3ph-4w": Interval(2.0 / 3.0, 2.0),
    "480Y/277V-3ph-4w": Interval(2.0 / 3.0, 2.0),
    "240/120V-3ph-4w-high-leg": Interval(1.0 / math.sqrt(3.0), 4.0 / math.sqrt(3.0)),
}
"""The fault current between lines (three-phase; line to line on a centre-tapped unit) over line to neutral.

From the weights of the faults: the least where all the impedance lies before the transformer (at a centre-tapped unit:
at its terminals), the greatest where all of it is conductor.
"""


@value(frozen=True, slots=True, kw_only=True)
class Element:
    """An impedance of the source in its role, what its magnitude and X/R rest on, and how it was had.

    ``expression`` holds the numbers of its formula; ``stated_a`` the current that it stands for.
    """

    role: Role
    impedance: Impedance
    magnitude_ohm: Interval
    x_over_r: Interval
    facts: tuple[Fact, ...] = ()
    angle: Fact | None = None
    expression: tuple[Interval, ...] = ()
    stated_a: Interval | None = None


@value(frozen=True, slots=True, kw_only=True)
class StatedCurrents:
    """What a stated current means at its point: between lines (three-phase, see ``LINES_OVER_NEUTRAL``), to neutral."""

    lines_a: Interval
    neutral_a: Interval
    facts: tuple[Fact, ...]


def source_elements(source: Source, system: str) -> tuple[Element, ...]:
    """Return the impedances of the source, at the voltage of *system*; from none to unlimited where it is not known."""
    kind = source.kind.value
    if kind == "stated" or (lacks_one_rating(source) and source.available_fault_current_a.stated):
        return _stated(source, system)
    if lacks_one_rating(source):
        return _anything(source.bank, source.available_fault_current_a)
    if kind == "transformer":
        return _before(source.upstream, system), transformer(source, system)
    return _anything(source.kind)


def lacks_one_rating(source: Source) -> bool:
    """Whether the source is given as a transformer and is a bank that one rating does not describe."""
    return source.kind.value == "transformer" and source.bank.value in BANKS_WITHOUT_ONE_RATING


def _anything(*facts: Fact) -> tuple[Element, ...]:
    return (
        Element(role="phase", impedance=ANYTHING, magnitude_ohm=_ANY, x_over_r=_ANY, facts=facts),
        Element(role="neutral", impedance=ANYTHING, magnitude_ohm=_ANY, x_over_r=_ANY),
    )


def transformer(unit: Source | SeparatelyDerived, system: str) -> Element:
    """Return a transformer's impedance at its secondary, which is on *system*."""
    percent, rating = unit.impedance_percent, unit.rating_va
    volts = SYSTEMS[system].line_to_line_v
    low = transformer_ohm(volts, percent.low, rating.high)
    high = low if percent.stated and rating.stated else transformer_ohm(volts, percent.high, rating.low)
    magnitude, ratio = Interval(low, high), unit.x_over_r.interval
    return Element(
        role="unit",
        impedance=polar(magnitude, ratio, TOLERANCE),
        magnitude_ohm=magnitude,
        x_over_r=ratio,
        facts=(percent, rating),
        angle=unit.x_over_r,
        expression=(percent.interval, rating.interval),
    )


def _before(upstream: Upstream, system: str) -> Element:
    kind, power = upstream.kind, upstream.value_va
    if kind.value == "unlimited":
        exact = Interval.exactly(0.0)
        return Element(role="before", impedance=NOTHING, magnitude_ohm=exact, x_over_r=exact, facts=(kind,))
    volts = SYSTEMS[system].line_to_line_v
    high = source_ohm(volts, power.low)
    low = source_ohm(volts, power.high) if kind.stated else 0.0
    magnitude, ratio = Interval(low, high), upstream.x_over_r.interval
    return Element(
        role="before",
        impedance=polar(magnitude, ratio),
        magnitude_ohm=magnitude,
        x_over_r=ratio,
        facts=(kind, power) if kind.stated or power.stated else (kind,),
        angle=upstream.x_over_r if kind.stated else None,
        expression=(power.interval,),
    )


def _stated(source: Source, system: str) -> tuple[Element, ...]:
    meant = stated_currents(source, system)
    line_v, neutral_v = SYSTEMS[system].line_to_line_v, SYSTEMS[system].line_to_neutral_v
    lines_v = line_v if system == CENTRE_TAPPED else line_v / math.sqrt(3.0)
    phase = _from_current(lines_v, meant.lines_a, source, meant.facts)
    if neutral_v is None:
        return (phase,)
    return phase, _from_current(neutral_v, meant.neutral_a, source, ())


def _from_current(volts: float, current_a: Interval, source: Source, facts: tuple[Fact, ...]) -> Element:
    low = volts / current_a.high if current_a.high else math.inf
    high = low if current_a.is_point else (volts / current_a.low if current_a.low else math.inf)
    magnitude, ratio = Interval(low, high), source.x_over_r.interval
    return Element(
        role="phase" if facts else "neutral",
        impedance=polar(magnitude, ratio),
        magnitude_ohm=magnitude,
        x_over_r=ratio,
        facts=facts,
        angle=source.x_over_r,
        expression=(Interval.exactly(volts), current_a),
        stated_a=current_a,
    )


def stated_currents(source: Source, system: str) -> StatedCurrents:
    """Return what the stated value says of each fault at its point.

    Three-phase systems, and a single-phase tap of a wye: the value counts for every fault type (convention), but a
    value said to be line to line is sqrt(3)/2 of the three-phase one, and one said to be line to neutral leaves the
    three-phase one in a range. Centre-tapped unit: the greatest counts for both; line to line, or a type that nobody
    stated, leaves line to neutral in a range; line to neutral leaves line to line in one.
    """
    value, own = source.available_fault_current_a, source.line_to_neutral_fault_current_a
    type_, has_neutral = source.fault_type.value, _has_neutral(system)
    facts: tuple[Fact, ...] = (value, source.fault_type, *((own,) if own.stated and has_neutral else ()))
    lines = neutral = value.interval
    if type_ == "line-to-neutral" and has_neutral:
        neutral = neutral.hull(own.interval) if own.stated else neutral
        lines = LINES_OVER_NEUTRAL[system] * neutral
    elif system == CENTRE_TAPPED:
        if own.stated:
            neutral = own.interval
        elif type_ != "greatest":
            least = 0.5 if type_ == "line-to-line" else 1.0
            neutral = Interval(least * lines.low, NEUTRAL_OVER_LINES * lines.high)
    else:
        if type_ == "line-to-line":
            lines = neutral = value.interval * _THREE_PHASE_OVER_TWO_LINES
        if own.stated:
            neutral = own.interval
    return StatedCurrents(lines_a=lines, neutral_a=neutral, facts=facts)


def open_fault_type(source: Source, system: str) -> tuple[Fact, ...]:
    """Return the member that would say which fault the stated value leaves open, if it leaves one."""
    if source.kind.value != "stated" or not _has_neutral(system):
        return ()
    type_, own = source.fault_type.value, source.line_to_neutral_fault_current_a
    if type_ == "line-to-neutral":
        return (source.fault_type,)
    if system != CENTRE_TAPPED or type_ == "greatest" or own.stated:
        return ()
    return (own,) if type_ == "line-to-line" else (source.fault_type,)


def _has_neutral(system: str) -> bool:
    return any(fault.name == LINE_TO_NEUTRAL for fault in FAULTS[system])
