"""Closed intervals of non-negative reals, the form in which an unknown number is carried through."""

from __future__ import annotations

import math

from changeout.domain.value import value


@value(frozen=True, slots=True)
class Interval:
    """All values from *low* to *high*, both included. *high* may be infinite: no bound is known.

    Raises:
        ValueError: if low is above high or either is not a number.
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        """Check the order of the bounds."""
        if not self.low <= self.high:
            raise ValueError(f"not an interval: [{self.low}, {self.high}]")

    @classmethod
    def exactly(cls, value: float) -> Interval:
        """Return the interval that holds one value only."""
        return cls(value, value)

    @property
    def is_point(self) -> bool:
        """Whether only one value is possible."""
        return self.low == self.high

    @property
    def value(self) -> float | None:
        """The value where only one is possible, else None."""
        return self.low if self.low == self.high else None

    @property
    def is_bounded(self) -> bool:
        """Whether a greatest value is known."""
        return math.isfinite(self.high)

    def __add__(self, other: Interval | float) -> Interval:
        """Return every sum of one value of each."""
        o = as_interval(other)
        return Interval(self.low + o.low, self.high + o.high)

    __radd__ = __add__

    def __sub__(self, other: Interval | float) -> Interval:
        """Return every difference of one value of each, taken as independent."""
        o = as_interval(other)
        return Interval(self.low - o.high, self.high - o.low)

    def __mul__(self, other: Interval | float) -> Interval:
        """Return every product of one value of each.

        Raises:
            ValueError: if a value below zero is possible in either.
        """
        o = as_interval(other)
        if self.low < 0 or o.low < 0:
            raise ValueError("products are defined for values of zero and above")
        high = 0.0 if 0.0 in (self.high, o.high) else self.high * o.high
        return Interval(self.low * o.low, high)

    __rmul__ = __mul__

    def __truediv__(self, other: Interval | float) -> Interval:
        """Return every quotient of one value of each; dividing by zero gives no upper bound.

        Raises:
            ValueError: if a value below zero is possible in either.
        """
        o = as_interval(other)
        if self.low < 0 or o.low < 0:
            raise ValueError("quotients are defined for values of zero and above")
        high = math.inf if o.low == 0 else self.high / o.low
        low = 0.0 if math.isinf(o.high) else (math.inf if o.high == 0 else self.low / o.high)
        return Interval(low, max(low, high))

    def hull(self, other: Interval) -> Interval:
        """Return the least interval that holds both."""
        return Interval(min(self.low, other.low), max(self.high, other.high))

    def contains(self, value: float) -> bool:
        """Whether *value* is one of the possible values."""
        return self.low <= value <= self.high


def as_interval(value: Interval | float) -> Interval:
    """Return *value* itself if it is an interval, else the interval that holds only it."""
    return value if isinstance(value, Interval) else Interval(value, value)


def greatest(*intervals: Interval) -> Interval:
    """Return what the greatest of one value of each can be.

    Raises:
        ValueError: if no interval is given.
    """
    return Interval(max(i.low for i in intervals), max(i.high for i in intervals))


def least(*intervals: Interval) -> Interval:
    """Return what the least of one value of each can be.

    Raises:
        ValueError: if no interval is given.
    """
    return Interval(min(i.low for i in intervals), min(i.high for i in intervals))
