"""What a benchmark measures: a figure with its aim, and whether it is reached."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A figure and its aim: at most, or at least, or none. ``beside`` are the figures that it was made of."""

    id: str
    name: str
    value: float | None
    unit: str = "x"
    most: float | None = None
    least: float | None = None
    beside: dict[str, Any] = field(default_factory=dict)
    lacks: str = ""

    @property
    def aim(self) -> str:
        if self.most is not None:
            return f"at most {self.most:g}"
        return "none" if self.least is None else f"at least {self.least:g}"

    @property
    def said(self) -> str:
        """``pass`` or ``short``; ``told`` where there is no aim, ``not measured`` where something lacks here."""
        if self.value is None:
            return "not measured"
        if self.most is not None:
            return "pass" if self.value <= self.most else "short"
        if self.least is None:
            return "told"
        return "pass" if self.value >= self.least else "short"

    def row(self) -> dict[str, Any]:
        return {
            "id": self.id,
            "name": self.name,
            "value": None if self.value is None else float(f"{self.value:.4g}"),
            "unit": self.unit,
            "aim": self.aim,
            "said": self.said,
            "beside": self.beside,
            **({"lacks": self.lacks} if self.lacks else {}),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """The processor time of one call, in seconds, over all rounds."""

    least: float
    median: float


def times_of(works: Sequence[Callable[[int], object]], rounds: int, in_each: int = 1) -> list[Times]:
    """What one call of each work takes; they take turns, so that all see the same machine.

    Each work is given the number of the call, so that it need not be given the same thing twice.
    """
    taken: list[list[float]] = [[] for _ in works]
    calls = 0
    for round_ in range(rounds + 1):
        for place, work in enumerate(works):
            start = time.process_time()
            for call in range(calls, calls + in_each):
                work(call)
            if round_:
                taken[place].append((time.process_time() - start) / in_each)
        calls += in_each
    return [Times(least=min(each), median=statistics.median(each)) for each in taken]
