"""How full conductors make a raceway, or the wiring space of an enclosure. Areas in square inches."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from changeout.domain.facts import Measurement, Number
from changeout.electrical.bounds import resting_on
from changeout.tables.raceway_fill import (
    conductor_area_in2,
    conduit_area_40_percent_in2,
    conduit_area_in2,
    fill_percent,
    trade_sizes,
)

_ROUND_UP_FROM: Final = 0.8
"""A count of like conductors that ends in this or more is the next whole one: Chapter 9 Note 7."""

_WORDS: Final = {1: "one", 2: "two"}
_DIGITS: Final = 9


def fillable_area_in2(conduit: str, trade_size: str, conductors: int) -> float:
    """Return the area that a number of conductors may take up in a conduit.

    Source: Chapter 9 Tables 1 and 4.
    """
    if conductors not in _WORDS:
        return conduit_area_40_percent_in2(conduit, trade_size)
    return conduit_area_in2(conduit, trade_size) * fill_percent(_WORDS[conductors]) / 100.0


def most_conductors(conduit: str, trade_size: str, area_each_in2: float) -> int:
    """Return how many like conductors a conduit may hold.

    Source: Chapter 9 Tables 1 and 4, Note 7.
    """
    quotient = round(conduit_area_40_percent_in2(conduit, trade_size) / area_each_in2, _DIGITS)
    whole = math.floor(quotient)
    many = whole + 1 if quotient - whole >= _ROUND_UP_FROM else whole
    if many > len(_WORDS):
        return many
    fitting = [n for n in _WORDS if n * area_each_in2 <= fillable_area_in2(conduit, trade_size, n)]
    return max(fitting, default=0)


def total_area_in2(conductors: Mapping[tuple[str, str], int]) -> float:
    """Return the area of conductors counted by insulation and size.

    Source: Chapter 9 Table 5.
    """
    return sum(conductor_area_in2(size, insulation) * count for (insulation, size), count in conductors.items())


def least_trade_size(conduit: str, total_in2: float, conductors: int) -> str | None:
    """Return the smallest trade size of a conduit that may hold so many conductors, or None beyond the table."""
    for trade_size in trade_sizes(conduit):
        if total_in2 <= fillable_area_in2(conduit, trade_size, conductors):
            return trade_size
    return None


def wiring_space_fill_percent(filled_in2: Number, space_in2: Number) -> Measurement:
    """Return how much of a wiring space's cross-section is filled, in percent."""
    interval = filled_in2.interval / space_in2.interval * 100.0
    return resting_on(interval, filled_in2, space_in2)
