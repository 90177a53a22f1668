"""A supply as a chain of impedances, from its source to the panelboard, in one stage or two."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from changeout.domain.facts import Fact, Listed
from changeout.domain.interval import Interval
from changeout.domain.proposal import Run, SeparatelyDerived, Supply
from changeout.domain.value import value
from changeout.electrical.impedance import ANYTHING, NOTHING, Impedance, angle_matters, in_series, polar
from changeout.electrical.network import (
    CENTRE_TAPPED,
    FAULTS,
    SINGLE_PHASE_OF_A_WYE,
    Loop,
    fits,
    loops,
    seen_through_transformer,
)
from changeout.electrical.runs import RunImpedance, run_impedance
from changeout.electrical.source import Element, open_fault_type, source_elements, transformer
from changeout.electrical.systems import SYSTEMS

_ANY = Interval(0.0, math.inf)


@value(frozen=True, slots=True, kw_only=True)
class Stage:
    """One system: what feeds it, and its conductors in order. ``runs_stated`` is False where nobody has said any."""

    system: str
    elements: tuple[Element, ...]
    runs: tuple[RunImpedance, ...]
    runs_stated: bool

    def conductors(self, count: int | None = None) -> Impedance:
        """Return the impedance of the first *count* runs, or of all, one conductor one way."""
        if not self.runs_stated and count is None:
            return ANYTHING
        taken = self.runs if count is None else self.runs[:count]
        if len(taken) == 1:
            return taken[0].impedance
        return in_series(run.impedance for run in taken) if taken else NOTHING

    def loops(self, count: int | None = None) -> tuple[Loop, ...]:
        """Return the loop of every fault after the first *count* runs, or after all."""
        elements = [(element.role, element.impedance) for element in self.elements]
        volts = SYSTEMS[self.system].line_to_line_v
        stated = {e.role: e.stated_a for e in self.elements if e.stated_a is not None}
        return loops(FAULTS[self.system], volts, elements, self.conductors(count), stated)

    def with_elements(self, elements: tuple[Element, ...]) -> Stage:
        """Return it fed by *elements*."""
        return Stage(system=self.system, elements=elements, runs=self.runs, runs_stated=self.runs_stated)


@value(frozen=True, slots=True, kw_only=True)
class Chain:
    """The stages of a supply.

    ``primary`` is the one before a transformer on the premises, if there is one whose system is known and fits.
    """

    supply: Supply
    primary: Stage | None
    secondary: Stage

    @property
    def first(self) -> Stage:
        """The stage that the source stands in."""
        return self.primary or self.secondary

    @property
    def source_is_seen(self) -> bool:
        """Whether the stage of the source is known: not where the system before a transformer is open."""
        return self.primary is not None or self.supply.separately_derived is None


def chain(supply: Supply, system: str) -> Chain:
    """Return the supply of the panelboard on *system* as impedances."""
    unit = supply.separately_derived
    if unit is None:
        only = _stage(system, source_elements(supply.source, system), supply.runs)
        return Chain(supply=supply, primary=None, secondary=only)
    primary = None
    if unit.primary_system.value is not None and fits(unit.primary_system.value, system):
        name = unit.primary_system.value
        primary = _stage(name, source_elements(supply.source, name), unit.primary_runs)
    elements = after_transformer(primary, unit, system)
    return Chain(supply=supply, primary=primary, secondary=_stage(system, elements, supply.runs))


def capped(whole: Chain, ceiling_a: float) -> Chain:
    """Return the chain with its source replaced by one that gives *ceiling_a* at most in any fault, at any X/R."""
    first = whole.first
    volts = SYSTEMS[first.system]
    if first.system == CENTRE_TAPPED:
        lines_v = volts.line_to_line_v
    else:
        lines_v = volts.line_to_line_v / (2.0 if first.system == SINGLE_PHASE_OF_A_WYE else math.sqrt(3.0))
    elements = [_behind(lines_v, ceiling_a, "phase")]
    if volts.line_to_neutral_v is not None:
        elements.append(_behind(volts.line_to_neutral_v, ceiling_a, "neutral"))
    limited = first.with_elements(tuple(elements))
    unit = whole.supply.separately_derived
    if unit is None or whole.primary is None:
        return Chain(supply=whole.supply, primary=None, secondary=limited)
    system = whole.secondary.system
    secondary = whole.secondary.with_elements(after_transformer(limited, unit, system))
    return Chain(supply=whole.supply, primary=limited, secondary=secondary)


def _behind(volts: float, ceiling_a: float, role: str) -> Element:
    # The greatest magnitude is left at the least one: only the upper end of the current is read from it.
    magnitude = Interval.exactly(volts / ceiling_a)
    impedance = polar(magnitude, _ANY)
    return Element(
        role="phase" if role == "phase" else "neutral",
        impedance=impedance,
        magnitude_ohm=magnitude,
        x_over_r=_ANY,
        stated_a=Interval.exactly(ceiling_a),
    )


def _stage(system: str, elements: tuple[Element, ...], runs: Listed[Run]) -> Stage:
    found = tuple(run_impedance(run, index) for index, run in enumerate(runs.items))
    return Stage(system=system, elements=elements, runs=found, runs_stated=runs.stated)


def after_transformer(primary: Stage | None, unit: SeparatelyDerived, system: str) -> tuple[Element, ...]:
    """Return what feeds *system* through a transformer on the premises: anything before it where that is not known."""
    own = transformer(unit, system)
    if primary is None:
        return (_before(ANYTHING, None), own)
    lines, wires = seen_through_transformer(primary.system, system)
    ratio = SYSTEMS[system].line_to_line_v / SYSTEMS[primary.system].line_to_line_v
    square = ratio * ratio
    known: list[Impedance] = []
    open_: list[Element] = []
    for element in primary.elements:
        if element.role != "neutral" and not element.impedance.is_nothing:
            z = element.impedance.times(lines * square)
            if z.is_known:
                known.append(z)
            else:
                open_.append(_before(z, element.angle))
    conductors = primary.conductors().times(wires * square)
    if conductors.is_known:
        known.append(conductors)
    else:
        open_.append(_before(conductors, None))
    return (_before(in_series(known), None), *open_, own)


def _before(impedance: Impedance, angle: Fact | None) -> Element:
    return Element(role="before", impedance=impedance, magnitude_ohm=_ANY, x_over_r=_ANY, angle=angle)


def used(whole: Chain, stages: Iterable[Stage]) -> list[Fact]:
    """Return every fact that the given stages and their source rest on, those that matter most first."""
    supply, unit = whole.supply, whole.supply.separately_derived
    facts: list[Fact] = [supply.system]
    if unit is not None:
        facts.append(unit.primary_system)
    sources = whole.first.elements if whole.source_is_seen else ()
    facts += _kind(whole)
    facts += (fact for element in reversed(sources) if element.role != "before" for fact in element.facts)
    taken = list(stages)
    if unit is not None and whole.secondary in taken:
        facts += (unit.impedance_percent, unit.rating_va)
    for stage in taken:
        facts += _run_facts(whole, stage, widening=False)
    facts += (fact for element in sources if element.role == "before" for fact in element.facts)
    facts += (element.angle for stage in taken for element in stage.elements if element.angle is not None)
    return facts


def _kind(whole: Chain) -> list[Fact]:
    return [whole.supply.source.kind] if whole.source_is_seen else []


def _run_facts(whole: Chain, stage: Stage, *, widening: bool) -> list[Fact]:
    if not stage.runs_stated:
        return [_listed(whole, stage)]
    return [fact for run in stage.runs for fact in (run.widening if widening else run.facts)]


def _listed(whole: Chain, stage: Stage) -> Fact:
    unit = whole.supply.separately_derived
    return unit.primary_runs if unit is not None and stage is whole.primary else whole.supply.runs


def open_facts(whole: Chain, stages: Sequence[Stage], found: Sequence[Loop], motors: Sequence[Fact]) -> list[Fact]:
    """Return what nobody has stated and leaves a range in the loops *found*, in order, *motors* in their place."""
    supply, unit = whole.supply, whole.supply.separately_derived
    facts: list[Fact] = []
    if unit is not None and whole.primary is None:
        facts.append(unit.primary_system)
    sources = whole.first.elements if whole.source_is_seen else ()
    stated = (supply.source.fault_type, supply.source.line_to_neutral_fault_current_a)
    facts += _unstated(_kind(whole))
    strong = (fact for element in reversed(sources) if element.role != "before" for fact in element.facts)
    facts += (fact for fact in _unstated(strong) if fact not in stated)
    if sources:
        facts += _fault_type(whole, stages)
    if unit is not None and whole.secondary in stages:
        facts += _unstated((unit.impedance_percent, unit.rating_va))
    for stage in stages:
        facts += _run_facts(whole, stage, widening=True)
    facts += motors
    facts += _unstated(fact for element in sources if element.role == "before" for fact in element.facts)
    facts += _angles(stages, found)
    return facts


def _fault_type(whole: Chain, stages: Sequence[Stage]) -> tuple[Fact, ...]:
    # Past a transformer on the premises only faults between lines of the system before it count.
    source = whole.supply.source
    only_lines = whole.primary is not None and whole.secondary in stages
    if only_lines and source.fault_type.value != "line-to-neutral":
        return ()
    return open_fault_type(source, whole.first.system)


def _unstated(facts: Iterable[Fact]) -> list[Fact]:
    return [fact for fact in facts if not fact.stated]


def _angles(stages: Sequence[Stage], found: Sequence[Loop]) -> list[Fact]:
    last = stages[-1]
    return [
        element.angle
        for element in last.elements
        if element.angle is not None
        and not element.angle.stated
        and any(angle_matters(loop.parts, element.impedance) for loop in found)
    ]
