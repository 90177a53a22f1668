"""The fault current available at a panelboard: the greatest of all faults, bolted, symmetrical r.m.s., nominal voltage.

The chain runs from the source through transformers and conductors; impedances are added as R + jX, all at the
voltage of the fault, and the voltage is divided by the sum once. What nobody stated is carried through as a range:
the upper end is never below, and the lower end never above, what any completion of the facts would give. Known
facts give one number. Conductors are at the table's 75 degC. Motors are added arithmetically.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from changeout.domain.calculation import Calculation
from changeout.domain.facts import Fact, Measurement, Number, merged
from changeout.domain.interval import Interval
from changeout.domain.proposal import Run, Supply
from changeout.domain.value import value
from changeout.electrical import fault_current_steps
from changeout.electrical.chain import Chain, Stage, chain, open_facts, used
from changeout.electrical.impedance import ANY_X_OVER_R, advised_ohm, x_over_r
from changeout.electrical.motors import Motors, motors
from changeout.electrical.network import Loop
from changeout.electrical.points import ID, Ceiling, Points, current_a, greatest_a, may_govern, seen_at_source
from changeout.electrical.runs import RunImpedance

__all__ = ["Ceiling", "FaultContext", "FaultCurrent", "available_fault_current"]

_UNBOUNDED = Interval(0.0, math.inf)


@value(frozen=True, slots=True, kw_only=True)
class FaultContext:
    """What a fault current depends on besides the supply.

    The busbar's rating only counts for motors that nobody stated, behind a source that is stated in amperes.
    ``ceiling`` is the greatest current at the source's terminals by a local ruleset; it limits what is not known.
    """

    occupancy: str
    busbar_rating_a: Number
    ceiling: Ceiling | None = None


@value(frozen=True, slots=True, kw_only=True)
class FaultCurrent:
    """The fault current of a supply, in amperes: what rules compare, and the calculation for whoever asks.

    ``at_source`` is at the terminals of the source, so of the primary system where a transformer stands on the
    premises. ``network_only`` is at the panelboard without motors. ``near_limit`` is the upper end at the panelboard
    with 0.9 of each transformer's %Z and conductors at 25 degC. ``governing`` names the fault that governs
    at the panelboard, or those that may.
    """

    at_panelboard: Measurement
    at_source: Measurement
    x_over_r: Measurement
    network_only: Measurement
    near_limit: Measurement
    governing: tuple[str, ...]
    supply: Supply
    points: Points | None

    def after_run(self, run: Run) -> Measurement:
        """Return the fault current at the end of one of the supply's runs, in amperes, motors included."""
        own, later = f"{run.at}/", run.at.rpartition("/")[0]
        here = next((p for p in self.points or () if p.runs and _is_of(p.runs[-1], own)), None)
        if here is None:
            return Measurement(_UNBOUNDED, self.at_panelboard.inputs, self.at_panelboard.missing, ID)
        interval = greatest_a([current_a(loop, here.limits) for loop in here.loops]) + here.motors_a
        passed = [fact.at for each in here.runs for fact in each.facts]

        def counts(pointer: str) -> bool:
            return pointer in passed or not pointer.startswith(f"{later}/")

        missing = () if interval.is_point else tuple(filter(counts, self.at_panelboard.missing))
        return Measurement(interval, tuple(filter(counts, self.at_panelboard.inputs)), missing, ID)

    def calculation(self) -> Calculation:
        """Return the calculation with its results at every point, its steps, assumptions and cautions."""
        return fault_current_steps.calculation(
            self.supply, self.points, self.at_panelboard, self.near_limit, self.x_over_r
        )


def available_fault_current(supply: Supply, context: FaultContext) -> FaultCurrent:
    """Return the fault current available at the panelboard, with what it rests on and what would narrow it."""
    system = supply.system.value
    if system is None:
        return _without_system(supply)
    whole = chain(supply, system)
    added = motors(supply, context.occupancy, context.busbar_rating_a)
    points = Points(chain=whole, motors=added, ceiling=_ceiling(whole, context.ceiling))
    stages = (whole.primary, whole.secondary) if whole.primary else (whole.secondary,)
    loops = whole.secondary.loops()
    limits = points.capped.secondary.loops() if points.capped else ()
    currents = [current_a(loop, limits) for loop in loops]
    network, governing = greatest_a(currents), may_govern(loops, currents)
    own = _Basis.of(whole, stages, loops, None)
    with_motors = _Basis(whole, stages, loops, added, merged(own.inputs, _pointers(added.facts)))
    return FaultCurrent(
        at_panelboard=with_motors.measurement(network + added.current_a),
        at_source=_at_source(points),
        x_over_r=_x_over_r(own, governing, network),
        network_only=own.measurement(network),
        near_limit=with_motors.measurement(
            Interval.exactly(_near_limit_a(loops, limits, network) + added.current_a.high)
        ),
        governing=tuple([loop.fault for loop in governing]),
        supply=supply,
        points=points,
    )


def _is_of(conductors: RunImpedance, run: str) -> bool:
    return any(fact.at.startswith(run) for fact in conductors.facts)


def _without_system(supply: Supply) -> FaultCurrent:
    open_ = tuple(fact.at for fact in (supply.system, supply.source.kind) if not fact.stated)
    inputs = (supply.system.at, supply.source.kind.at)
    unknown = Measurement(_UNBOUNDED, inputs, open_, ID)
    return FaultCurrent(
        at_panelboard=unknown,
        at_source=unknown,
        x_over_r=unknown,
        network_only=unknown,
        near_limit=Measurement(Interval(math.inf, math.inf), inputs, open_, ID),
        governing=(),
        supply=supply,
        points=None,
    )


def _ceiling(whole: Chain, ceiling: Ceiling | None) -> Ceiling | None:
    """Return the local ceiling where it says something: the source can give more than it, but need not."""
    if ceiling is None or not whole.source_is_seen:
        return None
    found = greatest_a([loop.current_a for loop in whole.first.loops(0)])
    return ceiling if found.low <= ceiling.value_a < found.high else None


@value(frozen=True, slots=True)
class _Basis:
    """What the numbers at one point rest on."""

    whole: Chain
    stages: tuple[Stage, ...]
    loops: tuple[Loop, ...]
    motors: Motors | None
    inputs: tuple[str, ...]

    @classmethod
    def of(cls, whole: Chain, stages: tuple[Stage, ...], loops: tuple[Loop, ...], added: Motors | None) -> _Basis:
        facts = used(whole, stages)
        if added is not None:
            facts += added.facts
        return cls(whole, stages, loops, added, _pointers(facts))

    @property
    def missing(self) -> tuple[str, ...]:
        return _pointers(open_facts(self.whole, self.stages, self.loops, self.motors.widening if self.motors else ()))

    def measurement(self, interval: Interval) -> Measurement:
        return Measurement(interval, self.inputs, () if interval.is_point else self.missing, ID)


def _pointers(facts: Sequence[Fact]) -> tuple[str, ...]:
    return tuple(dict.fromkeys([fact.at for fact in facts]))


def _at_source(points: Points) -> Measurement:
    whole = points.chain
    unit = whole.supply.separately_derived
    if unit is not None and not whole.source_is_seen:
        at = (unit.primary_system.at,)
        return Measurement(_UNBOUNDED, at, at, ID)
    stage = whole.first
    loops = stage.loops(0)
    limits = points.capped.first.loops(0) if points.capped else ()
    bare = Stage(system=stage.system, elements=stage.elements, runs=(), runs_stated=True)
    basis = _Basis.of(whole, (bare,), loops, points.motors)
    return basis.measurement(greatest_a([current_a(loop, limits) for loop in loops]) + seen_at_source(points))


def _x_over_r(basis: _Basis, governing: Sequence[Loop], network: Interval) -> Measurement:
    if network.is_bounded:
        found = [x_over_r(loop.parts) for loop in governing]
        # Faults that share the greatest known current: the highest X/R of them counts.
        single = network.is_point and all(i.is_point for i in found)
        high = max([i.high for i in found])
        interval = Interval(high if single else min([i.low for i in found]), high)
    else:
        interval = ANY_X_OVER_R
    measurement = basis.measurement(interval)
    if interval.is_point:
        return measurement
    elements = [element for stage in basis.stages for element in stage.elements]
    angles = [element.angle for element in elements if element.angle is not None and not element.angle.stated]
    missing = tuple(dict.fromkeys((*measurement.missing, *_pointers(angles))))
    return Measurement(interval, measurement.inputs, missing, ID)


def _near_limit_a(loops: Sequence[Loop], limits: Sequence[Loop], network: Interval) -> float:
    ceiling = max([_advised_a(loop) for loop in loops])
    if limits:
        ceiling = min(ceiling, max([_advised_a(loop) for loop in limits]))
    return max(ceiling, network.high)


def _advised_a(loop: Loop) -> float:
    return loop.most_a(advised_ohm(loop.parts))
