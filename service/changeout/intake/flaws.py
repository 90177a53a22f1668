"""What is wrong with a member: found while reading, explained only for those that are reported."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Protocol

from marshmallow import ValidationError

from changeout.intake.pointers import join


class Explains(Protocol):
    """Something that can say what it expected."""

    def explain(self, code: str, value: object) -> tuple[str, str | None]:
        """Return one sentence with an example, and a suggestion or None."""


@dataclass(frozen=True, slots=True)
class Flaw:
    """One thing wrong with *value*, by a code of ``ERRORS``; *by* says what was expected."""

    code: str
    by: Explains
    value: Any = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundFlaw:
    """A flaw and its place. ``also`` are the other members that take part in it."""

    pointer: str
    flaw: Flaw
    also: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Said:
    """An explanation that is the same for every value."""

    detail: str

    def explain(self, _code: str, _value: object) -> tuple[str, str | None]:
        """Return the sentence."""
        return self.detail, None


def refusal_of(code: str, by: Explains, value: object = None) -> ValidationError:
    """Return the exception that refuses one value."""
    return ValidationError([Flaw(code, by, value)])


def found_flaws(messages: object, pointer: str) -> Iterator[FoundFlaw]:
    """Yield the flaws of a validation error's nested messages, each with its JSON Pointer below *pointer*."""
    if isinstance(messages, dict):
        for token, inner in messages.items():
            yield from found_flaws(inner, join(pointer, token))
    elif isinstance(messages, list):
        for flaw in messages:
            yield FoundFlaw(pointer=pointer, flaw=flaw)
