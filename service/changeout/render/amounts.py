"""Numbers with bounds and units, as messages write them."""

from __future__ import annotations

import math
from typing import Final

from changeout.domain.facts import Number
from changeout.domain.findings import Figure
from changeout.domain.interval import Interval
from changeout.render.figures import number_text

NOT_STATED: Final = "not stated"

_BOUNDLESS: Final = "no known bound"
_UNKNOWN: Final = "not known"
_WHOLE_FROM: Final = 1000.0
_DIGITS: Final = 4
_SPELLED: Final = {"ft2": "ft²", "in2": "in²", "degC": "°C", "percent": "%", "count": "", "ratio": "", "ohm": "Ω"}


def amount(value: float, unit: str | None) -> str:
    """Return a number with its unit, as messages have it: whole from a thousand up, else to four digits."""
    shown = _SPELLED.get(unit, unit) if unit else ""
    if not math.isfinite(value):
        return number_text(value)
    rounded = round(value) if abs(value) >= _WHOLE_FROM else float(f"{value:.{_DIGITS}g}")
    return f"{number_text(rounded)} {shown}".rstrip()


def spread(low: float | None, high: float | None, unit: str | None) -> str:
    """Return a number with bounds as one amount, a range, or that no bound is known (None is without a bound)."""
    bottom = 0.0 if low is None else low
    top = math.inf if high is None else high
    if bottom == top:
        return amount(bottom, unit)
    if math.isinf(top):
        return f"{amount(bottom, unit)} or more" if bottom > 0 else _BOUNDLESS
    return f"{amount(bottom, None)} to {amount(top, unit)}"


def interval_text(interval: Interval, unit: str | None) -> str:
    """Return an interval as text."""
    return spread(interval.low, interval.high, unit)


def number_stated(number: Number, unit: str) -> str:
    """Return what the proposal says of a number, or that it says nothing."""
    return NOT_STATED if number.value is None else amount(number.value, unit)


def power_stated(number: Number) -> str:
    """Return what the proposal says of an apparent power, in kVA or MVA where that reads better."""
    value = number.value
    if value is None:
        return NOT_STATED
    for unit, times in (("MVA", 1e6), ("kVA", 1e3)):
        if value >= times:
            return f"{number_text(value / times)} {unit}"
    return amount(value, "VA")


def figure_words(figure: Figure) -> str:
    """Return what was found or is required, with its name: ``14,000 A (short-circuit current rating)``."""
    if figure.text is not None:
        shown = figure.text
    elif figure.low is None and figure.high is None:
        shown = "unknown"
    else:
        shown = spread(figure.low, figure.high, figure.unit)
    if shown == _BOUNDLESS:
        shown = _UNKNOWN
    relation = _RELATIONS.get(figure.relation, figure.relation) if figure.relation else ""
    if relation and figure.text is None and figure.low != figure.high:
        shown = "a value that is not known" if shown == _UNKNOWN else f"a value of {shown}"
    return f"{relation} {shown} ({figure.name})".lstrip()


_RELATIONS: Final = {">=": "at least", "<=": "at most", ">": "more than", "<": "less than", "=": "", "==": ""}
