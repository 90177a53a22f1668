"""Members that are quantities and voltage ratings, written as text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final, NamedTuple, Unpack

from marshmallow import ValidationError

from changeout.domain import facts
from changeout.intake.fields.member import Member, Options
from changeout.intake.flaws import refusal_of
from changeout.intake.quantity import Family, QuantityError, read_quantity
from changeout.intake.ranges import Bounds
from changeout.intake.suggestions import likely_quantity

VOLTAGE_PATTERN: Final = "^[1-9][0-9]{1,3}(Y?/[1-9][0-9]{1,3})? V$"

_VOLTAGE: Final = re.compile(r"([1-9][0-9]{1,3})(?:(Y?)/([1-9][0-9]{1,3}))? V", re.ASCII)
_LOWEST_VOLTAGE_V: Final = 100.0
_HIGHEST_VOLTAGE_V: Final = 1000.0


class Written(Member):
    """A quantity as text, of one family of units."""

    def __init__(self, said: Mapping[str, str], family: Family, **options: Unpack[Options]) -> None:
        """Keep the family of units."""
        super().__init__(said, **options)
        self.family = family

    def hold(self, number: float, base: str) -> bool:
        """Whether the number lies within the physical range."""
        raise NotImplementedError

    def read(self, value: object) -> tuple[float, str]:
        """Return number and base unit.

        Raises:
            ValidationError: with a flaw, if it is no quantity of the family within the range.
        """
        if type(value) is not str:
            is_number = isinstance(value, int | float) and not isinstance(value, bool)
            raise refusal_of("bare-number" if is_number else "wrong-type", self, value)
        try:
            number, base = read_quantity(value, self.family)
        except QuantityError as error:
            raise refusal_of(error.code, self, value) from None
        if not self.hold(number, base):
            raise refusal_of("out-of-range", self, value)
        return number, base

    @property
    def ranged(self) -> str:
        """The family and the physical range, in words."""
        raise NotImplementedError

    @property
    def example(self) -> str:
        """A value that is taken."""
        return self.family.example

    @property
    def expected(self) -> str:
        """What is expected."""
        return f'{self.ranged}, such as "{self.example}"'

    def explain(self, code: str, value: object) -> tuple[str, str | None]:
        """Return what was expected and, where the value only misses the form, the value in form."""
        wanted = f'{self.family.described}, such as "{self.example}"'
        if code == "bare-number":
            return f"A number alone has no unit; expected here: {wanted}.", None
        if code == "wrong-unit":
            return f"This unit is not taken here; expected: {wanted}.", self._suggestion(str(value))
        if code == "bad-quantity":
            detail = f"A quantity is a number, one space and a unit; expected here: {wanted}."
            return detail, self._suggestion(str(value))
        return super().explain(code, value)

    def _suggestion(self, value: str) -> str | None:
        likely = likely_quantity(value, self.family)
        if likely is None:
            return None
        try:
            self.read(likely)
        except ValidationError:
            return None
        return likely


class Quantity(Written):
    """A quantity that becomes a number in one base unit."""

    fact = facts.Number

    def __init__(self, said: Mapping[str, str], family: Family, bounds: Bounds, **options: Unpack[Options]) -> None:
        """Keep the family of units and the physical range."""
        super().__init__(said, family, **options)
        self.bounds = bounds
        self.unit_in_name = family.bases[0].lower().replace("/", "_per_")

    def hold(self, number: float, base: str) -> bool:  # noqa: ARG002
        """Whether the number lies within the physical range."""
        return self.bounds.hold(number)

    @property
    def example(self) -> str:
        """A value that is taken."""
        return self.bounds.example

    def take(self, value: object) -> float:
        """Return the number in the base unit."""
        return self.read(value)[0]

    @property
    def ranged(self) -> str:
        """The family and the physical range, in words."""
        return f"{self.family.described}, {self.bounds.words}"


class Load(NamedTuple):
    """A load and the base unit in which it was stated."""

    value: float
    unit: str


class PowerOrCurrent(Written):
    """A load in amperes, volt-amperes, watts or horsepower; which of them is kept."""

    fact = facts.PowerOrCurrent

    def __init__(
        self, said: Mapping[str, str], family: Family, bounds: Mapping[str, Bounds], **options: Unpack[Options]
    ) -> None:
        """Keep the family of units and the physical range of each base unit."""
        super().__init__(said, family, **options)
        self.bounds = {base: bounds[base] for base in family.bases}

    def hold(self, number: float, base: str) -> bool:
        """Whether the number lies within the physical range."""
        return self.bounds[base].hold(number)

    def take(self, value: object) -> Load:
        """Return the number and its base unit."""
        return Load(*self.read(value))

    @property
    def ranged(self) -> str:
        """The family and the physical range, in words."""
        return f"{self.family.described}, {' or '.join(bounds.words for bounds in self.bounds.values())}"


class Voltage(NamedTuple):
    """A voltage marking and what it says."""

    text: str
    line_to_line_v: float
    line_to_ground_v: float | None


class VoltageRating(Member):
    """A voltage rating as marked, straight or with a slash."""

    fact = facts.VoltageRating

    def take(self, value: object) -> Voltage:
        """Return the marking and its voltages."""
        if type(value) is not str:
            raise refusal_of("wrong-type", self, value)
        found = _VOLTAGE.fullmatch(value)
        if found is None:
            raise refusal_of("bad-voltage", self, value)
        marked = [float(number) for number in (found[1], found[3]) if number is not None]
        if min(marked) < _LOWEST_VOLTAGE_V or max(marked) > _HIGHEST_VOLTAGE_V:
            raise refusal_of("out-of-range", self, value)
        if len(marked) == 1:
            return Voltage(value, marked[0], None)
        if marked[0] == marked[1] or (marked[0] > marked[1]) is not bool(found[2]):
            raise refusal_of("bad-voltage", self, value)
        return Voltage(value, max(marked), min(marked))

    @property
    def expected(self) -> str:
        """What is expected."""
        return (
            f"a voltage rating as marked, from {_LOWEST_VOLTAGE_V:g} V to {_HIGHEST_VOLTAGE_V:g} V, "
            'such as "240 V", "120/240 V" or "480Y/277 V"'
        )
