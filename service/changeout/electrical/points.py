"""The points of a supply at which its fault current is computed, and what governs there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import field
from typing import Final

from changeout.domain.interval import Interval
from changeout.domain.value import value
from changeout.electrical.chain import Chain, Stage, capped
from changeout.electrical.motors import Motors
from changeout.electrical.network import Loop
from changeout.electrical.runs import RunImpedance
from changeout.electrical.systems import SYSTEMS

ID: Final = "fault-current"


@value(frozen=True, slots=True, kw_only=True)
class Ceiling:
    """The greatest fault current at a source's terminals by a local ruleset, in amperes, and where that is from."""

    value_a: float
    origin: str


@value(frozen=True, slots=True, kw_only=True)
class Point:
    """One point: its name, the runs to it, its loops, those behind a local ceiling, and the motors' current there."""

    at: str
    system: str
    runs: tuple[RunImpedance, ...]
    loops: tuple[Loop, ...]
    limits: tuple[Loop, ...]
    motors_a: Interval


@value(frozen=True, slots=True, kw_only=True)
class Points:
    """A supply with its motors and a local ceiling, where one says something."""

    chain: Chain
    motors: Motors
    ceiling: Ceiling | None
    capped: Chain | None = field(init=False)

    def __post_init__(self) -> None:
        """Form the chain behind the ceiling."""
        limit = self.ceiling
        object.__setattr__(self, "capped", capped(self.chain, limit.value_a) if limit else None)

    def __iter__(self) -> Iterator[Point]:
        """Go through the points from the source to the panelboard."""
        whole, limit = self.chain, self.capped
        if whole.primary is not None:
            yield from self._along(whole.primary, limit.primary if limit else None, is_first=True)
        yield from self._along(whole.secondary, limit.secondary if limit else None, is_first=whole.primary is None)

    def _along(self, stage: Stage, limit: Stage | None, *, is_first: bool) -> Iterator[Point]:
        is_last = stage is self.chain.secondary
        motors_a = self.motors.current_a if is_last else seen_at_source(self)
        ends = len(stage.runs) if stage.runs_stated else 0
        for count in range(ends + 1):
            yield Point(
                at=self._name(stage, count, is_first=is_first),
                system=stage.system,
                runs=stage.runs[:count],
                loops=stage.loops(count),
                limits=limit.loops(count) if limit else (),
                motors_a=motors_a,
            )
        if not stage.runs_stated:
            at = "panelboard" if is_last else "transformer's primary terminals"
            limits = limit.loops() if limit else ()
            yield Point(at=at, system=stage.system, runs=(), loops=stage.loops(), limits=limits, motors_a=motors_a)

    def _name(self, stage: Stage, count: int, *, is_first: bool) -> str:
        if stage is self.chain.secondary and stage.runs_stated and count == len(stage.runs):
            return "panelboard"
        if count == 0:
            seen = is_first and self.chain.source_is_seen
            return "source terminals" if seen else "transformer's secondary terminals"
        return f"end of run {stage.runs[count - 1].label}"


def seen_at_source(points: Points) -> Interval:
    """Return what the panelboard's motors add at the source: through a transformer, by the ratio of its voltages."""
    whole = points.chain
    if whole.primary is None:
        return points.motors.current_a
    ratio = SYSTEMS[whole.secondary.system].line_to_line_v / SYSTEMS[whole.primary.system].line_to_line_v
    return points.motors.current_a * ratio


def current_a(loop: Loop, limits: Sequence[Loop]) -> Interval:
    """Return the current of a loop, no higher than behind the ceiling."""
    found = loop.current_a
    limit = next((one.current_a.high for one in limits if one.fault == loop.fault), math.inf)
    return found if found.high <= limit else Interval(found.low, max(found.low, limit))


def greatest_a(currents: Sequence[Interval]) -> Interval:
    """Return the greatest of the currents."""
    return Interval(max([i.low for i in currents]), max([i.high for i in currents]))


def may_govern(loops: Sequence[Loop], currents: Sequence[Interval]) -> list[Loop]:
    """Return the loops whose current, in the same order, can be the greatest."""
    least = max([i.low for i in currents])
    return [loop for loop, current in zip(loops, currents, strict=True) if current.high >= least]
