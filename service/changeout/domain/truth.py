"""Three-valued truth. Unknown is not false, so a truth refuses to be used as a bool."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from typing import NoReturn

from changeout.domain.enumeration import quick


@quick
class Truth(Enum):
    """What is known of a statement: it holds, it does not, or nobody has said."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"

    def __bool__(self) -> NoReturn:
        """Refuse: ``if fact:`` would read an unknown as one of the two answers.

        Raises:
            TypeError: always.
        """
        raise TypeError("a Truth is not a bool: compare it with Truth.YES, Truth.NO or Truth.UNKNOWN")

    @classmethod
    def of(cls, value: bool) -> Truth:
        """Return the truth of a plain bool."""
        return cls.YES if value else cls.NO


def all_of(truths: Iterable[Truth]) -> Truth:
    """Return YES when every truth is YES, NO when any is NO, else UNKNOWN (Kleene's conjunction)."""
    found = list(truths)
    if Truth.NO in found:
        return Truth.NO
    return Truth.UNKNOWN if Truth.UNKNOWN in found else Truth.YES


def any_of(truths: Iterable[Truth]) -> Truth:
    """Return YES when any truth is YES, NO when every one is NO, else UNKNOWN (Kleene's disjunction)."""
    found = list(truths)
    if Truth.YES in found:
        return Truth.YES
    return Truth.UNKNOWN if Truth.UNKNOWN in found else Truth.NO


def negate(truth: Truth) -> Truth:
    """Return the opposite; the opposite of UNKNOWN is UNKNOWN."""
    if truth is Truth.UNKNOWN:
        return truth
    return Truth.NO if truth is Truth.YES else Truth.YES
