"""Numbers as a person reads them."""

from __future__ import annotations

import math
from typing import Final

from changeout.domain.findings import Figure

_SIGNIFICANT_DIGITS: Final = 6


def number_text(value: float) -> str:
    """Return *value* with thousands set apart, to six significant digits, without an exponent.

    The rounding is for reading only: comparisons are made before it.
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else "no known bound"
    decimals = max(0, _SIGNIFICANT_DIGITS - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:,.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def figure_text(figure: Figure) -> str:
    """Return what the figure says without its name: a text, a number with its unit, or a range."""
    if figure.text is not None:
        return figure.text
    unit = f" {figure.unit}" if figure.unit else ""
    if figure.low is None or figure.high is None:
        return "unknown"
    if figure.low == figure.high:
        return f"{number_text(figure.low)}{unit}"
    if math.isinf(figure.high):
        return f"{number_text(figure.low)}{unit} or more"
    return f"{number_text(figure.low)} to {number_text(figure.high)}{unit}"
