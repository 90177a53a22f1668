"""Numbers that rest on facts: bounds with what they were read from and what would narrow them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from changeout.domain.facts import Claim, Measured, Measurement, merged
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth


class Resting(Protocol):
    """Anything that knows what it rests on: a fact, a claim, a number."""

    @property
    def inputs(self) -> tuple[str, ...]:
        """Pointers of the members it rests on."""

    @property
    def missing(self) -> tuple[str, ...]:
        """Pointers of the members whose value would settle or narrow it."""


def resting_on(interval: Interval, *sources: Resting) -> Measurement:
    """Return *interval* as a number that rests on *sources*; nothing is missing where it is one value only."""
    missing = () if interval.is_point else merged(*(s.missing for s in sources))
    return Measurement(interval, merged(*(s.inputs for s in sources)), missing)


def hull_of(intervals: Iterable[Interval]) -> Interval:
    """Return the least interval that holds every one.

    Raises:
        ValueError: if there is none.
    """
    found = list(intervals)
    return Interval(min(i.low for i in found), max(i.high for i in found))


def within(number: Measured, least: float, greatest: float) -> Claim:
    """Return the claim that *number* lies from *least* to *greatest*, both included."""
    if number.low >= least and number.high <= greatest:
        return Claim(Truth.YES, number.inputs)
    if number.high < least or number.low > greatest:
        return Claim(Truth.NO, number.inputs)
    return Claim(Truth.UNKNOWN, number.inputs, number.missing)


def no_more_than(number: Measured, limit: Measured) -> Claim:
    """Return the claim that *number* is *limit* or less; equality holds."""
    inputs = merged(number.inputs, limit.inputs)
    if number.high <= limit.low:
        return Claim(Truth.YES, inputs)
    if number.low > limit.high:
        return Claim(Truth.NO, inputs)
    return Claim(Truth.UNKNOWN, inputs, merged(number.missing, limit.missing))
