"""A calculation with its steps, as a person can redo it with a pocket calculator."""

from __future__ import annotations

from changeout.domain.facts import Measurement
from changeout.domain.interval import Interval
from changeout.domain.value import value


@value(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of a calculation: ``symbol = expression = value unit``, and where the formula or figure is from.

    ``value`` is None where the step is a range; ``low`` and ``high`` are always given (high is infinite where no
    bound is known). A step that is a word and no number has neither and speaks in ``expression``.
    """

    symbol: str
    name: str
    expression: str
    interval: Interval | None
    unit: str
    source: str


@value(frozen=True, slots=True, kw_only=True)
class Result:
    """One of the numbers a calculation arrives at: what it is and where in the installation it holds."""

    at: str
    name: str
    interval: Interval
    unit: str


@value(frozen=True, slots=True, kw_only=True)
class Calculation:
    """What was computed, from which members, and how.

    ``result`` is the number that rules compare. ``assumptions`` are sentences that the report prints.
    """

    id: str
    title: str
    result: Measurement
    unit: str
    results: tuple[Result, ...] = ()
    steps: tuple[Step, ...] = ()
    assumptions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
