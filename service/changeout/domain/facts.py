"""What a proposal says, member by member, and what follows from it.

Every fact knows where in the proposal it stands (``at``, a JSON Pointer) and whether it was stated.
So a rule that uses a fact need not say again what it read or what is missing: the claim or
measurement it forms carries both (``inputs``, ``missing``).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Generic, NoReturn, Protocol, TypeVar

from changeout.domain.interval import Interval, greatest, least
from changeout.domain.truth import Truth, all_of, any_of
from changeout.domain.value import value

T = TypeVar("T")

_YES, _NO, _UNKNOWN = Truth
"""Named here since claims are made by the thousand, and a name of the module is found sooner than a member."""


class Measured(Protocol):
    """A number with bounds that knows what it rests on. ``Number`` and ``Measurement`` are such."""

    @property
    def low(self) -> float:
        """The least it can be."""

    @property
    def high(self) -> float:
        """The greatest it can be."""

    @property
    def inputs(self) -> tuple[str, ...]:
        """Pointers of the members it rests on."""

    @property
    def missing(self) -> tuple[str, ...]:
        """Pointers of the members whose value would narrow it."""


@value(frozen=True, slots=True)
class Claim:
    """A statement about the proposal: its truth, the members it rests on, the ones that would settle it."""

    truth: Truth
    inputs: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    def __bool__(self) -> NoReturn:
        """Refuse, as a truth does.

        Raises:
            TypeError: always.
        """
        raise TypeError("a Claim is not a bool: compare its truth")

    def __and__(self, other: Claim) -> Claim:
        """Return the claim that both hold."""
        mine, theirs = self.truth, other.truth
        if mine is _NO or theirs is _NO:
            return Claim(_NO, both(self.inputs, other.inputs))
        if mine is theirs is _YES:
            return Claim(_YES, both(self.inputs, other.inputs))
        return _unsettled((self, other))

    def __or__(self, other: Claim) -> Claim:
        """Return the claim that at least one holds."""
        mine, theirs = self.truth, other.truth
        if mine is _YES or theirs is _YES:
            return Claim(_YES, both(self.inputs, other.inputs))
        if mine is theirs is _NO:
            return Claim(_NO, both(self.inputs, other.inputs))
        return _unsettled((self, other))

    def __invert__(self) -> Claim:
        """Return the claim that it does not hold."""
        opposite = _NO if self.truth is _YES else _YES if self.truth is _NO else _UNKNOWN
        return Claim(opposite, self.inputs, self.missing)

    @property
    def holds(self) -> bool:
        """Whether it is known to hold."""
        return self.truth is _YES

    @property
    def fails(self) -> bool:
        """Whether it is known not to hold."""
        return self.truth is _NO

    @property
    def unknown(self) -> bool:
        """Whether nobody has said."""
        return self.truth is _UNKNOWN


def certain(value: bool, *rests_on: Fact) -> Claim:
    """Return a claim whose truth is known, resting on the given facts."""
    return Claim(_YES if value else _NO, merged(*[f.inputs for f in rests_on]))


def all_claims(claims: Iterable[Claim]) -> Claim:
    """Return the claim that every one holds (YES when there is none)."""
    found = tuple(claims)
    return _joined(found, all_of(c.truth for c in found))


def any_claim(claims: Iterable[Claim]) -> Claim:
    """Return the claim that at least one holds (NO when there is none)."""
    found = tuple(claims)
    return _joined(found, any_of(c.truth for c in found))


def _joined(claims: tuple[Claim, ...], truth: Truth) -> Claim:
    return _unsettled(claims) if truth is _UNKNOWN else Claim(truth, merged(*[c.inputs for c in claims]))


def _unsettled(claims: tuple[Claim, ...]) -> Claim:
    missing = merged(*[c.missing for c in claims if c.truth is _UNKNOWN])
    return Claim(_UNKNOWN, merged(*[c.inputs for c in claims]), missing)


def merged(*pointers: tuple[str, ...]) -> tuple[str, ...]:
    """Return all pointers once each, in the order they first come."""
    found: dict[str, None] = {}
    for group in pointers:
        for pointer in group:
            found[pointer] = None
    return tuple(found)


def both(some: tuple[str, ...], others: tuple[str, ...]) -> tuple[str, ...]:
    """Return the pointers of two groups, once each where each group has none twice; quick where one adds nothing."""
    if not others or some == others:
        return some
    return merged(some, others) if some else others


@value(frozen=True, slots=True)
class Measurement:
    """A computed number with bounds, resting on members of the proposal (see ``Measured``)."""

    interval: Interval
    inputs: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    calculation: str | None = None

    @property
    def low(self) -> float:
        """The least it can be."""
        return self.interval.low

    @property
    def high(self) -> float:
        """The greatest it can be."""
        return self.interval.high

    def times(self, factor: float) -> Measurement:
        """Return it multiplied by *factor* (zero or more)."""
        return Measurement(self.interval * factor, self.inputs, self.missing, self.calculation)

    def plus(self, other: Measured) -> Measurement:
        """Return the sum of both, in the unit of both."""
        return Measurement(
            self.interval + Interval(other.low, other.high),
            both(self.inputs, other.inputs),
            both(self.missing, other.missing),
            self.calculation,
        )


def sum_of(numbers: Iterable[Measured]) -> Measurement:
    """Return the sum of the numbers, in the unit of all; zero where there is none."""
    found = tuple(numbers)
    low = high = 0.0
    for number in found:
        low, high = low + number.low, high + number.high
    missing = merged(*[n.missing for n in found])
    return Measurement(Interval(low, high), merged(*[n.inputs for n in found]), missing)


def measured(number: Measured) -> Measurement:
    """Return *number* as a measurement, so that it can be added and multiplied."""
    calculation = number.calculation if isinstance(number, Measurement) else None
    return Measurement(Interval(number.low, number.high), number.inputs, number.missing, calculation)


@lru_cache(maxsize=1 << 12, typed=True)
def fixed(value: float) -> Measurement:
    """Return a number that rests on no member: a limit, or a value of a table."""
    return Measurement(Interval.exactly(value))


def greatest_of(*numbers: Measured) -> Measurement:
    """Return the greatest of the numbers, with bounds."""
    return _extreme(greatest(*(Interval(n.low, n.high) for n in numbers)), numbers)


def least_of(*numbers: Measured) -> Measurement:
    """Return the least of the numbers, with bounds."""
    return _extreme(least(*(Interval(n.low, n.high) for n in numbers)), numbers)


def _extreme(interval: Interval, numbers: tuple[Measured, ...]) -> Measurement:
    missing = () if interval.is_point else merged(*(n.missing for n in numbers))
    calculation = next(
        (n.calculation for n in numbers if isinstance(n, Measurement) and n.calculation),
        None,
    )
    return Measurement(interval, merged(*(n.inputs for n in numbers)), missing, calculation)


@value(frozen=True, slots=True)
class Fact:
    """Something a proposal can say, at one place."""

    at: str

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        raise NotImplementedError

    @property
    def inputs(self) -> tuple[str, ...]:
        """The member it stands at."""
        return (self.at,)

    @property
    def missing(self) -> tuple[str, ...]:
        """The member it would stand at, when the proposal does not say it."""
        return () if self.stated else (self.at,)

    @property
    def is_stated(self) -> Claim:
        """The claim that the proposal says it (never UNKNOWN)."""
        return Claim(Truth.of(self.stated), (self.at,), self.missing)


@value(frozen=True, slots=True)
class Number(Fact):
    """A quantity in base units, or a count. Not stated: anywhere in the member's physical range."""

    low: float
    high: float
    value: float | None = None

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        return self.value is not None

    @property
    def interval(self) -> Interval:
        """The values it can have."""
        return Interval(self.low, self.high)


@value(frozen=True, slots=True)
class Flag(Fact):
    """A yes or no."""

    truth: Truth

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        return self.truth is not _UNKNOWN

    @property
    def claim(self) -> Claim:
        """The claim that it is so."""
        at = (self.at,)
        return Claim(self.truth, at, at if self.truth is _UNKNOWN else ())


@value(frozen=True, slots=True)
class Choice(Fact):
    """One of a closed list of words."""

    value: str | None

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        return self.value is not None

    def among(self, *words: str) -> Claim:
        """Return the claim that it is one of *words*."""
        if self.value is None:
            return Claim(_UNKNOWN, (self.at,), (self.at,))
        return Claim(_YES if self.value in words else _NO, (self.at,))


@value(frozen=True, slots=True)
class Choices(Fact):
    """Several of a closed list of words."""

    values: tuple[str, ...] | None

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        return self.values is not None

    def includes(self, *words: str) -> Claim:
        """Return the claim that any of *words* is among them."""
        if self.values is None:
            return Claim(_UNKNOWN, (self.at,), (self.at,))
        return Claim(Truth.of(any(w in self.values for w in words)), (self.at,))


@value(frozen=True, slots=True)
class Text(Fact):
    """Free text, echoed and compared, never interpreted."""

    value: str | None

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        return self.value is not None


@value(frozen=True, slots=True)
class Day(Fact):
    """A date."""

    value: dt.date | None

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        return self.value is not None


@value(frozen=True, slots=True)
class ConductorSize(Fact):
    """A conductor size as the trade writes it: ``4/0 AWG``, ``250 kcmil``."""

    value: str | None

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        return self.value is not None


@value(frozen=True, slots=True)
class VoltageRating(Fact):
    """A voltage rating as marked: straight (``240 V``) or with a slash (``120/240 V``)."""

    value: str | None
    line_to_line_v: float | None = None
    line_to_ground_v: float | None = None

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        return self.value is not None

    @property
    def is_slash(self) -> bool:
        """Whether a lower, line-to-ground value is marked too."""
        return self.line_to_ground_v is not None


@value(frozen=True, slots=True)
class PowerOrCurrent(Fact):
    """A load given in one of several units: ``unit`` is ``A``, ``VA``, ``W`` or ``hp`` (base units)."""

    value: float | None
    unit: str | None = None

    @property
    def stated(self) -> bool:
        """Whether the proposal says it."""
        return self.value is not None


@value(frozen=True, slots=True)
class Document:
    """An entry of the proposal's ``documents``."""

    at: str
    id: str
    kind: Choice
    title: Text
    dated: Day


@value(frozen=True, slots=True)
class Evidence(Fact):
    """A reference to a document of the proposal."""

    document: Document | None

    @property
    def stated(self) -> bool:
        """Whether a document is named."""
        return self.document is not None


@value(frozen=True, slots=True)
class Listed(Fact, Generic[T]):
    """A list of like things. Not stated is not empty."""

    items: tuple[T, ...]
    given: bool

    @property
    def stated(self) -> bool:
        """Whether the proposal has the list (it may be empty)."""
        return self.given

    def __iter__(self) -> Iterator[T]:
        """Go through what was stated."""
        return iter(self.items)

    def __len__(self) -> int:
        """Return how many were stated."""
        return len(self.items)
