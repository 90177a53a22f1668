"""What a fault-current calculation takes for granted, and what a reader should beware of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from changeout.domain.facts import Measurement
from changeout.domain.interval import Interval
from changeout.domain.proposal import Supply
from changeout.electrical.asymmetry import crest_a
from changeout.electrical.network import CENTRE_TAPPED, SINGLE_PHASE_OF_A_WYE
from changeout.electrical.points import Points
from changeout.electrical.source import NEUTRAL_OVER_LINES, lacks_one_rating, open_fault_type
from changeout.electrical.steps import shown

_WYES: Final = frozenset({"208Y/120V-3ph-4w", "480Y/277V-3ph-4w", SINGLE_PHASE_OF_A_WYE})
_HIGH_LEG: Final = "240/120V-3ph-4w-high-leg"

_TWO_LINES_AND_NEUTRAL_PERCENT: Final = {**dict.fromkeys(sorted(_WYES), 15), _HIGH_LEG: 30}
"""The most found in networks drawn at random and solved by a circuit simulator: 13 % and 26 %, rounded up."""

_COMMON: Final = (
    "Bolted fault, symmetrical r.m.s., nominal voltage, no arc, conductors at 75 °C, neutral as large as the lines."
)


def assumptions(supply: Supply, points: Points) -> tuple[str, ...]:
    """Return the sentences that say what the calculation takes for granted."""
    return tuple(dict.fromkeys(_assumptions(supply, points)))


def _assumptions(supply: Supply, points: Points) -> Iterator[str]:
    whole = points.chain
    yield _COMMON
    units = [whole.secondary.system] if supply.separately_derived else []
    if supply.source.kind.value == "transformer" and whole.source_is_seen and not lacks_one_rating(supply.source):
        units.append(whole.first.system)
    for system in units:
        yield from _unit(system)
    if supply.source.kind.value == "stated" and whole.source_is_seen and whole.first.system != CENTRE_TAPPED:
        yield (
            "The stated fault current counts for every fault type at its point, with its impedance whole in a fault to "
            "neutral (convention); one stated as line to line is taken as √3/2 of the three-phase one."
        )
    if points.motors.assumption:
        yield points.motors.assumption
    if points.motors.current_a.high > 0.0:
        yield (
            f"Running motors add {shown(points.motors.multiplier)} x their full-load current: 4 is usual for induction "
            "motors, 5 for synchronous ones, none for motors behind drives; motor_multiplier says otherwise."
        )
    if points.ceiling:
        yield f"No more than {points.ceiling.value_a:.0f} A at the source's terminals: {points.ceiling.origin}."
    if not whole.secondary.runs_stated:
        yield "Conductors are not stated: from none upward."


def offset_and_tolerance(result: Measurement, near_limit: Measurement, x_over_r: Measurement) -> tuple[str, ...]:
    """Return the sentences on what the symmetrical current hides: the offset of the first crest, and the tolerance.

    Source of the crest: see ``asymmetry``; of the tolerance: the trade's hand method.
    """
    if not result.interval.is_bounded or result.high == 0.0:
        return ()
    crest, offset = crest_a(result.high, x_over_r.high), shown(rounded(x_over_r.interval))
    return (
        f"The current is symmetrical. X/R at the panelboard is {offset}: with full offset the "
        f"first crest reaches {crest:.0f} A. A breaker's rating is proven at the X/R of its own test circuit.",
        f"With the nameplate impedance 10 % lower and cold conductors it is between {result.low:.0f} A and "
        f"{near_limit.high:.0f} A.",
    )


def rounded(interval: Interval) -> Interval:
    """Return the interval with three digits, for words."""
    return Interval(float(f"{interval.low:.3g}"), float(f"{interval.high:.3g}"))


def _unit(system: str) -> Iterator[str]:
    if system in _WYES:
        yield (
            "The transformer has a delta primary, and its zero-sequence impedance equals its positive-sequence one: "
            "a fault to neutral meets two thirds of what lies before it."
        )
    elif system == CENTRE_TAPPED:
        yield "The transformer's halves are interlaced: the half winding counts 1.5 x R and 1.2 x X, over 4, at 120 V."
    elif system == _HIGH_LEG:
        yield "The bank is a closed delta of three equal units, one of them tapped, each a third of the rating."


def cautions(supply: Supply, points: Points) -> tuple[str, ...]:
    """Return the sentences that a reader should beware of."""
    return tuple(_cautions(supply, points))


def _cautions(supply: Supply, points: Points) -> Iterator[str]:
    whole, unit = points.chain, supply.separately_derived
    if supply.source.kind.value == "stated" and whole.source_is_seen:
        yield from _stated(supply, whole.first.system)
    if supply.source.kind.value == "transformer" and whole.source_is_seen:
        yield from _bank(supply, whole.first.system)
    if whole.secondary.system in _TWO_LINES_AND_NEUTRAL_PERCENT:
        yield (
            "Faults of two lines and the neutral together are not computed; in one, a line can carry up to about "
            f"{_TWO_LINES_AND_NEUTRAL_PERCENT[whole.secondary.system]} % more than the greatest current given here."
        )
    if unit is not None:
        yield "Motors on the system before the transformer on the premises are not asked for and not counted."
    if unit is not None and whole.primary is None:
        yield "The system before the transformer is not known or does not fit: its supply is taken as from nothing up."
    if any(run.conductor and not run.from_table for run in (*whole.first.runs, *whole.secondary.runs)):
        yield "Some conductors are not in the printed table, or not known: their ohms are the proposal's or a range."


def _bank(supply: Supply, system: str) -> Iterator[str]:
    bank = supply.source.bank
    if lacks_one_rating(supply.source):
        yield (
            f"Nothing is computed of a bank of kind {bank.value}: ask the utility for the fault current, and give it "
            "with source kind stated."
        )
    elif system == _HIGH_LEG and not bank.stated:
        yield (
            "Nobody said how the bank is made up. An open delta, or units of different size, can give more than is "
            "computed here from one rating: state the bank."
        )


def _stated(supply: Supply, system: str) -> Iterator[str]:
    source = supply.source
    if system == CENTRE_TAPPED and open_fault_type(source, system) and source.fault_type.value != "line-to-neutral":
        yield (
            f"The stated value may be line to line only; line to neutral at a transformer's terminals is up to "
            f"{NEUTRAL_OVER_LINES:g} times as much, behind a weak primary up to twice."
        )
    elif system in _WYES and not source.line_to_neutral_fault_current_a.stated:
        yield (
            "A stated value says nothing of the neutral path: behind a delta primary, line to neutral at that point "
            "can be up to 1.5 times the three-phase value."
        )
    if not source.dated.stated or not source.document.stated:
        yield "A stated value holds at its point and date, often for the largest transformer the utility may set there."
