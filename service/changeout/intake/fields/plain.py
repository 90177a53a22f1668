"""Members that are JSON booleans and numbers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Unpack

from changeout.domain import facts
from changeout.intake.fields.member import Member, Options
from changeout.intake.flaws import refusal_of
from changeout.intake.ranges import Bounds


class Flag(Member):
    """A yes or no."""

    fact = facts.Flag

    def take(self, value: object) -> bool:
        """Return a JSON boolean as it is."""
        if value is True or value is False:
            return bool(value)
        raise refusal_of("wrong-type", self, value)

    @property
    def expected(self) -> str:
        """What is expected."""
        return "true or false, such as true"


class Version(Member):
    """The version of the document: a number that is known here."""

    def __init__(self, said: Mapping[str, str], version: int, **options: Unpack[Options]) -> None:
        """Keep the one version that is known."""
        super().__init__(said, **options)
        self.version = version

    def take(self, value: object) -> int:
        """Return the version, if it is the one that is known."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise refusal_of("wrong-type", self, value)
        if value != self.version:
            raise refusal_of("not-in-list", self, value)
        return self.version

    @property
    def expected(self) -> str:
        """What is expected."""
        return f"the number {self.version}"


class Numeric(Member):
    """A JSON number within a physical range."""

    fact = facts.Number
    kind_of_number = "a number"

    def __init__(self, said: Mapping[str, str], bounds: Bounds, example: float, **options: Unpack[Options]) -> None:
        """Keep the range and an example."""
        super().__init__(said, **options)
        self.bounds = bounds
        self.example = example

    @property
    def expected(self) -> str:
        """What is expected."""
        return f"{self.kind_of_number} {self.bounds.words}, such as {self.example:g}"


class Ratio(Numeric):
    """A percentage, a ratio or a share."""

    def take(self, value: object) -> float:
        """Return a JSON number within the range."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise refusal_of("wrong-type", self, value)
        if not self.bounds.hold(value):
            raise refusal_of("out-of-range", self, value)
        return float(value) + 0.0


class Count(Numeric):
    """A whole number. ``3.0`` is one, as JSON has no other way to tell."""

    kind_of_number = "a whole number"

    def take(self, value: object) -> int:
        """Return a whole JSON number within the range."""
        if isinstance(value, bool) or not (isinstance(value, int) or (isinstance(value, float) and value.is_integer())):
            raise refusal_of("wrong-type", self, value)
        if not self.bounds.hold(value):
            raise refusal_of("out-of-range", self, value)
        return int(value)
