"""Conductor runs as impedances: from the printed table, from the proposal's own figures, or over what is not known."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Callable, Iterable
from typing import Final

from changeout.domain.facts import Fact
from changeout.domain.interval import Interval
from changeout.domain.proposal import Run
from changeout.domain.value import value
from changeout.electrical.impedance import Impedance, box
from changeout.electrical.network import conductor_ohm
from changeout.tables.conductors import MATERIALS, RACEWAYS, SIZES, ac_impedance
from changeout.tables.load import table

_WARM_DEGC: Final = 75.0
_COLD_DEGC: Final = 25.0
COLD: Final = {
    "copper": (234.5 + _COLD_DEGC) / (234.5 + _WARM_DEGC),
    "aluminum": (228.1 + _COLD_DEGC) / (228.1 + _WARM_DEGC),
}
"""Resistance at 25 degC over that at 75 degC: 0.838, 0.835. Usual temperature constants 234.5, 228.1, from memory."""

_LEAST_REACTANCE: Final = 0.0159
"""Ohm per 1000 ft: round conductors that touch, all current on the surface, 60 Hz: 2e-7 H/m x ln 2. From theory."""

_PRINT_ROUNDING: Final = 0.05
"""How far a printed alternating-current resistance may be from the direct-current one where skin effect is nothing.

The greatest difference among the printed rows up to 1 AWG is 3.3 % (10 AWG copper).
"""


@value(frozen=True, slots=True, kw_only=True)
class RunImpedance:
    """A run: one conductor one way, all sets together, and what that was made of.

    ``facts`` were used; ``widening`` are those of them that nobody stated and that leave a range.
    """

    label: str
    impedance: Impedance
    resistance: Interval
    reactance: Interval
    length_ft: Interval
    sets: Interval
    from_table: bool
    conductor: str
    facts: tuple[Fact, ...]
    widening: tuple[Fact, ...]


@value(frozen=True, slots=True, kw_only=True)
class _Printed:
    """Resistance and reactance over the candidates of a table, in ohm per 1000 ft."""

    resistance: Interval
    reactance: Interval
    resistance_rests_on: tuple[bool, bool, bool]
    reactance_rests_on: tuple[bool, bool, bool]
    is_printed: bool


def run_impedance(run: Run, index: int) -> RunImpedance:
    """Return the impedance of the run at *index*, over every candidate for what is not stated.

    Size, material and raceway range over the table, resistance and reactance each by itself. Insulation does not
    matter: the table is at 75 degC. A size that the table does not print lies between its neighbours.
    """
    own_r, own_x = run.resistance_ohm_per_kft, run.reactance_ohm_per_kft
    choices: tuple[Fact, ...] = (run.size, run.material, run.raceway)
    facts: list[Fact] = [run.length_in, run.sets]
    widening = [fact for fact in facts if not fact.stated]
    printed = None
    if own_r.stated and own_x.stated:
        resistance, reactance = own_r.interval, own_x.interval
        facts += [own_r, own_x]
    else:
        printed = _printed(run.size.value, run.material.value, run.raceway.value)
        resistance = own_r.interval if own_r.stated else printed.resistance
        reactance = own_x.interval if own_x.stated else printed.reactance
        facts += [*choices, *(own for own in (own_r, own_x) if own.stated)]
        if not (resistance.is_point and reactance.is_point):
            widening += _widening(run, printed)
    length = run.length_in.interval
    length_ft, sets = Interval(length.low / 12.0, length.high / 12.0), run.sets.interval
    return RunImpedance(
        label=run.id.value or str(index + 1),
        impedance=box(
            _one_way(resistance, length_ft, sets), _one_way(reactance, length_ft, sets), _cold(run.material.value)
        ),
        resistance=resistance,
        reactance=reactance,
        length_ft=length_ft,
        sets=sets,
        from_table=printed is not None and printed.is_printed,
        conductor=" ".join(str(c.value) for c in (run.size, run.material, run.raceway) if c.value is not None),
        facts=tuple(facts),
        widening=tuple(widening),
    )


def _one_way(ohm_per_kft: Interval, length_ft: Interval, sets: Interval) -> Interval:
    low = conductor_ohm(ohm_per_kft.low, length_ft.low, sets.high)
    if ohm_per_kft.is_point and length_ft.is_point and sets.is_point:
        return Interval(low, low)
    return Interval(low, conductor_ohm(ohm_per_kft.high, length_ft.high, sets.low))


def _cold(material: str | None) -> float:
    return min(COLD.values()) if material is None else COLD[material]


def _widening(run: Run, printed: _Printed) -> list[Fact]:
    rests_on = [
        (not run.resistance_ohm_per_kft.stated and r) or (not run.reactance_ohm_per_kft.stated and x)
        for r, x in zip(printed.resistance_rests_on, printed.reactance_rests_on, strict=True)
    ]
    choices: tuple[Fact, ...] = (run.size, run.material, run.raceway)
    found = [choice for choice, matters in zip(choices, rests_on, strict=True) if matters and not choice.stated]
    if not found:
        own: tuple[Fact, ...] = (run.resistance_ohm_per_kft, run.reactance_ohm_per_kft)
        found = [fact for fact in own if not fact.stated]
    return found


@functools.cache
def _printed(size: str | None, material: str | None, raceway: str | None) -> _Printed:
    axes = (
        (size,) if size else SIZES,
        (material,) if material else MATERIALS,
        (raceway,) if raceway else RACEWAYS,
    )
    found = {chosen: _ranges(*chosen) for chosen in itertools.product(*axes)}
    return _Printed(
        resistance=functools.reduce(Interval.hull, (r for r, _ in found.values())),
        reactance=functools.reduce(Interval.hull, (x for _, x in found.values())),
        resistance_rests_on=_rests_on({chosen: r for chosen, (r, _) in found.items()}),
        reactance_rests_on=_rests_on({chosen: x for chosen, (_, x) in found.items()}),
        is_printed=all(ac_impedance(*chosen) is not None for chosen in found),
    )


def _rests_on(found: dict[tuple[str, str, str], Interval]) -> tuple[bool, bool, bool]:
    """Return whether the ranges differ along each of size, material and raceway, the other two held."""

    def differs(axis: int) -> bool:
        held: dict[tuple[str, ...], set[Interval]] = {}
        for chosen, interval in found.items():
            held.setdefault((*chosen[:axis], *chosen[axis + 1 :]), set()).add(interval)
        return any(len(intervals) > 1 for intervals in held.values())

    return differs(0), differs(1), differs(2)


def _ranges(size: str, material: str, raceway: str) -> tuple[Interval, Interval]:
    printed = ac_impedance(size, material, raceway)
    if printed is not None:
        return Interval.exactly(printed[0]), Interval.exactly(printed[1])
    at = SIZES.index(size)
    smaller = _nearest(reversed(SIZES[:at]), lambda s: ac_impedance(s, material, raceway))
    larger = _nearest(SIZES[at + 1 :], lambda s: ac_impedance(s, material, raceway))
    direct = _direct_current_resistance(material)[size]
    resistance = Interval(
        larger[0] if larger else direct * (1.0 - _PRINT_ROUNDING),
        smaller[0] if smaller else direct * (1.0 + _PRINT_ROUNDING),
    )
    return resistance, _between(size, raceway, smaller, larger)


def _between(
    size: str, raceway: str, smaller: tuple[float, float] | None, larger: tuple[float, float] | None
) -> Interval:
    # Reactance does not depend on the material: a size printed for one material has its reactance for the other.
    printed = [z[1] for z in (ac_impedance(size, material, raceway) for material in MATERIALS) if z]
    if printed:
        return Interval.exactly(printed[0])
    known = [z[1] for z in (smaller, larger) if z]
    return Interval(min(known) if larger else _LEAST_REACTANCE, max(known))


def _nearest(
    sizes: Iterable[str], impedance: Callable[[str], tuple[float, float] | None]
) -> tuple[float, float] | None:
    return next((z for z in map(impedance, sizes) if z is not None), None)


@functools.cache
def _direct_current_resistance(material: str) -> dict[str, float]:
    column = "copper_uncoated" if material == "copper" else material
    return {row.text("size"): row.number(column) for row in table("conductor_properties")}
