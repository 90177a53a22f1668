"""Small constructors for the lines of a calculation."""

from __future__ import annotations

from changeout.domain.calculation import Step
from changeout.domain.interval import Interval, as_interval


def step(symbol: str, name: str, expression: str, value: float | Interval, unit: str, source: str) -> Step:
    """Return the line ``symbol = expression = value unit``, with the table or formula it is from."""
    return Step(symbol=symbol, name=name, expression=expression, interval=as_interval(value), unit=unit, source=source)


def remark(symbol: str, name: str, words: str, source: str) -> Step:
    """Return a line that is a word and no number."""
    return Step(symbol=symbol, name=name, expression=words, interval=None, unit="", source=source)


def shown(value: float | Interval) -> str:
    """Return *value* as it is written inside an expression: ``180``, ``0.82``, ``150 to 180``, ``150 or more``."""
    interval = as_interval(value)
    if interval.is_point:
        return _number(interval.low)
    if not interval.is_bounded:
        return f"{_number(interval.low)} or more"
    return f"{_number(interval.low)} to {_number(interval.high)}"


def term(value: float | Interval) -> str:
    """Return *value* as a term or factor of an expression: as it is shown, in brackets where it is a range."""
    text = shown(value)
    return f"({text})" if " " in text else text


def _number(value: float) -> str:
    return f"{value:.6g}" if abs(value) < 1e6 else f"{value:.0f}"
