"""One row of an edition: what a rule amounts to there, where it stands, its parameters, and how that is known."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from changeout.domain.findings import Effect, Reviewed

Value = float | bool | str | dt.date | tuple[str, ...] | tuple[float, ...]


class RulesetError(Exception):
    """A ruleset that cannot be used. The service does not start with one.

    Args:
        file: The file's name as it was given.
        line: The line, counted from 1, or None where there is none to name.
        reason: What is wrong and what is expected.
    """

    def __init__(self, file: str, line: int | None, reason: str) -> None:
        """Keep the place and the reason."""
        super().__init__(f"{file}:{line}: {reason}" if line else f"{file}: {reason}")
        self.file = file
        self.line = line
        self.reason = reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """A value that an edition sets. ``unit`` is None for flags, words and counts."""

    value: Value
    unit: str | None = None
    source: str | None = None
    local: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One rule in one edition.

    ``local`` names the jurisdiction whose amendment touched the row; ``local_note`` is its reference text.
    """

    rule: str
    in_force: bool
    effect: Effect
    section: str | None
    also: tuple[str, ...]
    parameters: Mapping[str, Parameter]
    source: str
    reviewed: Reviewed
    note: str | None = None
    local: str | None = None
    local_note: str | None = None

    @property
    def is_asked(self) -> bool:
        """Whether the rule is asked at all: in force, or silent but worth advice."""
        return self.in_force or self.effect is Effect.ADVISORY


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """All rows of an edition, in the order in which findings are listed."""

    name: str
    code: str
    preview: bool
    note: str
    rows: Mapping[str, Row]
