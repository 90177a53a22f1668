"""What the fault-current calculation says at each point of a supply and of each impedance, for drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from changeout.domain.calculation import Calculation, Result
from changeout.domain.interval import Interval, greatest
from changeout.render.amounts import interval_text

FAULT_CURRENT: Final = "fault-current"
LOAD: Final = "load"
NEAR_LIMIT_SYMBOL: Final = "In"
"""The step of the upper end with nameplate tolerance and cold conductors."""


def calculation_called(name: str, calculations: Sequence[Calculation]) -> Calculation | None:
    """Return the calculation with this id, or None where it was not made."""
    return next((c for c in calculations if c.id == name), None)


@dataclass(frozen=True, slots=True)
class FaultPoints:
    """The currents of a calculation by point, and its steps by symbol. Without one, nothing is known of any."""

    calculation: Calculation | None

    def at(self, point: str) -> str:
        """Return the greatest current at a point with the fault that gives it, as text."""
        here = self._results(point)
        if not here:
            return "fault current not computed"
        whole = greatest(*(r.interval for r in here))
        names = [r.name for r in here if r.interval.high >= whole.low]
        return f"{interval_text(whole, 'A')} ({' or '.join(names)})"

    def interval(self, point: str) -> Interval | None:
        """Return the greatest current at a point."""
        here = self._results(point)
        return greatest(*(r.interval for r in here)) if here else None

    def impedance(self, symbol: str) -> str | None:
        """Return an impedance by its symbol, as text, or None where the calculation has none."""
        for step in self.calculation.steps if self.calculation else ():
            if step.symbol == symbol and step.interval is not None and step.unit == "ohm":
                return f"{symbol} {interval_text(step.interval, 'ohm')}"
        return None

    def near_limit_a(self) -> float | None:
        """Return the upper end at the panelboard with nameplate tolerance and cold conductors, in amperes."""
        for step in self.calculation.steps if self.calculation else ():
            if step.symbol == NEAR_LIMIT_SYMBOL and step.interval is not None and step.interval.is_bounded:
                return step.interval.high
        return None

    def _results(self, point: str) -> list[Result]:
        return [r for r in self.calculation.results if r.at == point] if self.calculation else []
