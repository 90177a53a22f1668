"""Enumerations whose members are quick to name."""

from __future__ import annotations

from enum import Enum
from typing import TypeVar

E = TypeVar("E", bound=Enum)


def quick(enumeration: type[E]) -> type[E]:
    """Return *enumeration* with its members as plain attributes of the class, and their identity as their hash.

    Python makes them so from 3.12 on. In 3.11 each time a member is named, a function of ``enum`` is called, and a
    report names members a hundred thousand times.
    """
    for member in enumeration:
        type.__setattr__(enumeration, member.name, member)
    type.__setattr__(enumeration, "__hash__", object.__hash__)
    return enumeration
