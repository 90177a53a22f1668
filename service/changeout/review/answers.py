"""What the answer to one missing member could be, for trying."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from changeout.domain.facts import (
    Choice,
    Choices,
    ConductorSize,
    Day,
    Document,
    Evidence,
    Fact,
    Flag,
    Listed,
    Number,
    PowerOrCurrent,
    Text,
    VoltageRating,
)
from changeout.domain.truth import Truth
from changeout.review.equipment import VOLTAGES
from changeout.review.members import Members

_POINTS: Final = 5
"""How many values of a number's range are tried, its ends among them."""


_NEXT_TO_NOTHING: Final = 1e-6
"""The part of a range from zero that stands for its low end, since most of them do not hold zero itself."""

_SIZES: Final = (
    "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "1 AWG", "2/0 AWG", "4/0 AWG", "500 kcmil", "2000 kcmil",
)  # fmt: skip
"""Conductor sizes that are tried: the small ones, which have rules of their own, and some across the rest."""

_LOADS_VA: Final = (0.0, 100.0, 1_000.0, 5_000.0, 10_000.0, 25_000.0, 100_000.0, 1_000_000.0)
"""VA: loads that are tried."""


def points_of(number: Number, *, whole: bool, count: int = _POINTS) -> list[float]:
    """Return values across the range of a number, its ends included: by equal ratio where the range is wide.

    *whole*: it counts things.
    """
    points = _spread(number.low, number.high, count)
    return sorted({float(round(point)) for point in points}) if whole else points


def _spread(low: float, high: float, count: int) -> list[float]:
    if low > 0 and high / low > 4:
        ratio = (high / low) ** (1 / (count - 1))
        return [low, *(low * ratio**i for i in range(1, count - 1)), high]
    if low == 0 and high > 0:
        small = high / 4 ** (count - 2)
        return [high * _NEXT_TO_NOTHING, *(small * 4**i for i in range(count - 2)), high]
    return [low + (high - low) * i / (count - 1) for i in range(count)]


def possible_answers(fact: Fact, members: Members) -> Iterator[Fact]:
    """Yield the fact with possible answers in its place; nothing for what cannot be made up (texts, dates).

    Of a list, that it is empty.
    """
    match fact:
        case Number():
            yield from (stated(fact, value) for value in points_of(fact, whole=is_count(fact, members)))
        case Flag(at):
            yield from (Flag(at, truth) for truth in (Truth.YES, Truth.NO))
        case Choice(at):
            yield from (Choice(at, word) for word in members.words(at))
        case Choices(at):
            yield from (Choices(at, (word,)) for word in members.words(at))
        case ConductorSize(at):
            yield from (ConductorSize(at, size) for size in _SIZES)
        case VoltageRating(at):
            yield from (VoltageRating(at, text, line, ground) for text, line, ground in VOLTAGES)
        case PowerOrCurrent(at):
            yield from (PowerOrCurrent(at, load_va, "VA") for load_va in _LOADS_VA)
        case Evidence(at):
            yield Evidence(at, _a_document())
        case Listed(at):
            yield Listed(at, (), given=True)
        case _:
            return


def is_count(number: Number, members: Members) -> bool:
    """Whether a number counts things, so that only whole ones are possible."""
    return members.unit(number.at) == "count"


def stated(number: Number, value: float) -> Number:
    """Return the number as if the proposal stated *value*."""
    kept = round(value) if math.isclose(value, round(value), abs_tol=1e-12) else value
    return Number(number.at, float(kept), float(kept), float(kept))


def _a_document() -> Document:
    at = "/documents/-"
    return Document(
        at=at,
        id="-",
        kind=Choice(f"{at}/kind", None),
        title=Text(f"{at}/title", None),
        dated=Day(f"{at}/dated", None),
    )
