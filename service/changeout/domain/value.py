"""Value classes: frozen dataclasses that cost little to make, since a report makes tens of thousands of them."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

__all__ = ["value"]

T = TypeVar("T")

if TYPE_CHECKING:
    from dataclasses import dataclass as value
else:

    def value(*, frozen: bool, **how: object) -> Callable[[type[T]], type[T]]:
        """Return ``dataclasses.dataclass`` with the same hash and equality, without the guard against assignment.

        With that guard Python sets each member by a call, which takes three times as long. Who reads the types (mypy,
        strict, over every module) still sees a frozen class, and refuses an assignment there.

        Raises:
            TypeError: if the class is not to be frozen: then it is no value.
        """
        if not frozen:
            raise TypeError("a value is frozen")
        return dataclasses.dataclass(unsafe_hash=bool(how.get("eq", True)), **how)
