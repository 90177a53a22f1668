"""Quantities: a number, one space and a unit of a closed list, as text; a number in a base unit, as value.

Nothing that a caller sends is ever given to pint: the text is matched, the unit looked up in the list of the member,
and the number multiplied. Pint supplies the factors, once, when the module is loaded. They are kept as exact
fractions and applied to decimal numbers, so that 36 in, 3 ft and 914.4 mm are the same number, and 2.01 kA is 2010 A.
"""

from __future__ import annotations

import decimal
import functools
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from importlib import resources
from typing import Final

import pint

LONGEST_TEXT: Final = 64
"""Characters that a quantity may have."""

NUMBER_PATTERN: Final = r"-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]{1,3})?"
"""The number of a quantity: JSON's grammar, with at most three digits of exponent."""

_QUANTITY: Final = re.compile(rf"({NUMBER_PATTERN}) ([A-Za-z0-9/]+)", re.ASCII)
_NUMBER_ALONE: Final = re.compile(NUMBER_PATTERN, re.ASCII)
_PRECISE: Final = decimal.Context(prec=120, Emin=-9999, Emax=9999)
_LARGEST_DENOMINATOR: Final = 10**7


class QuantityError(ValueError):
    """A text that is no quantity of its family. The argument is a code of ``changeout.domain.problems.ERRORS``."""

    @property
    def code(self) -> str:
        """What is wrong with it."""
        return str(self.args[0])


@dataclass(frozen=True, slots=True, eq=False)
class Conversion:
    """How a number in a unit becomes one in the base unit: ``(number * factor + offset) / divisor``, exactly."""

    base: str
    factor: Decimal
    offset: Decimal
    divisor: Decimal

    def apply(self, number: str) -> float:
        """Return the double nearest to the converted number; infinite where no double can hold it."""
        value = _PRECISE.create_decimal(number)
        value = _PRECISE.add(_PRECISE.multiply(value, self.factor), self.offset)
        return float(_PRECISE.divide(value, self.divisor))


@dataclass(frozen=True, slots=True, eq=False)
class Family:
    """A kind of quantity: what it is called, its base unit, the units it is written in, and an example."""

    name: str
    example: str
    units: Mapping[str, Conversion]

    @property
    def bases(self) -> tuple[str, ...]:
        """The base units, one unless the family is of several dimensions."""
        return tuple(dict.fromkeys(conversion.base for conversion in self.units.values()))

    @property
    def described(self) -> str:
        """The family's name and units in words."""
        *others, last = self.units
        return f"{self.name} in {', '.join(others)} or {last}" if others else f"{self.name} in {last}"

    @property
    def pattern(self) -> str:
        """The form of the text as a regular expression that ECMA-262 knows too."""
        return f"^{NUMBER_PATTERN} ({'|'.join(self.units)})$"


@functools.lru_cache(maxsize=4096)
def read_quantity(text: str, family: Family) -> tuple[float, str]:
    """Return the number that *text* says, in the base unit that stands beside it.

    Raises:
        QuantityError: with ``bare-number``, ``bad-quantity``, ``wrong-unit``, or ``out-of-range`` for a negative
            number and for one that no double can hold.
    """
    found = _QUANTITY.fullmatch(text) if len(text) <= LONGEST_TEXT else None
    if found is None:
        raise QuantityError("bare-number" if _NUMBER_ALONE.fullmatch(text) else "bad-quantity")
    number = found[1]
    conversion = family.units.get(found[5])
    if conversion is None:
        raise QuantityError("wrong-unit")
    value = conversion.apply(number)
    if number[0] == "-" or not math.isfinite(value):
        raise QuantityError("out-of-range")
    return value, conversion.base


def _conversion(registry: pint.UnitRegistry[Decimal], unit: str, base: str) -> Conversion:
    """Return the conversion that pint makes, as a fraction: what one and what none of the unit are in the base."""
    with decimal.localcontext(prec=50):
        none, one = (
            registry.Quantity(Decimal(count), _PINT_NAMES.get(unit, unit)).to(_PINT_NAMES.get(base, base)).magnitude
            for count in (0, 1)
        )
        factor = Fraction(one - none).limit_denominator(_LARGEST_DENOMINATOR)
        offset = Fraction(none).limit_denominator(_LARGEST_DENOMINATOR)
    divisor = math.lcm(factor.denominator, offset.denominator)
    return Conversion(base, Decimal(int(factor * divisor)), Decimal(int(offset * divisor)), Decimal(divisor))


_PINT_NAMES: Final = {"ft2": "ft**2", "m2": "m**2", "in2": "in**2"}
_MADE_OF: Final = (
    "milli- centi- kilo- mega- meter second ampere gram kelvin degree_Celsius degree_Fahrenheit newton joule watt "
    "coulomb volt volt_ampere ohm yard foot inch standard_gravity grain pound force_pound horsepower"
)


def _definitions() -> list[str]:
    """Return the lines of pint's own definitions that our units are made of; to read all of them takes far longer."""
    names = _MADE_OF.split()
    texts = [
        resources.files("pint").joinpath(name).read_text("utf-8") for name in ("constants_en.txt", "default_en.txt")
    ]
    lines = (line.strip() for text in texts for line in text.splitlines())
    return [line for line in lines if "=" in line and line.split()[0] in names]


_REGISTRY: Final[pint.UnitRegistry[Decimal]] = pint.UnitRegistry(_definitions(), non_int_type=Decimal)


def _family(name: str, example: str, *lists: tuple[str, str]) -> Family:
    units = {unit: _conversion(_REGISTRY, unit, base) for base, written in lists for unit in written.split()}
    return Family(name, example, units)


CURRENT: Final = _family("a current", "200 A", ("A", "A kA"))
APPARENT_POWER: Final = _family("an apparent power", "75 kVA", ("VA", "VA kVA MVA"))
LENGTH: Final = _family("a length", "36 in", ("in", "ft in m cm mm"))
FLOOR_AREA: Final = _family("an area", "2000 ft2", ("ft2", "ft2 m2 in2"))
SMALL_AREA: Final = _family("an area", "40 in2", ("in2", "in2 ft2 m2"))
RESISTANCE: Final = _family("a resistance", "25 ohm", ("ohm", "ohm mohm"))
CONDUCTOR_IMPEDANCE: Final = _family("an impedance for each length", "0.100 ohm/kft", ("ohm/kft", "ohm/kft ohm/km"))
TEMPERATURE: Final = _family("a temperature", "75 degC", ("degC", "degC degF"))
HEATING_POWER: Final = _family("a power", "10 kW", ("W", "W kW VA kVA"))
"""Taken at power factor 1: a resistance heater's volt-amperes are its watts."""

TOTAL_LOAD: Final = _family("a load", "24 kVA", ("A", "A kA"), ("VA", "VA kVA MVA"), ("W", "W kW"))
"""Volt-amperes and watts stay what they are: no power factor is assumed here."""

EQUIPMENT_LOAD: Final = _family("a load", "4.5 kW", ("A", "A kA"), ("VA", "VA kVA MVA"), ("W", "W kW"), ("hp", "hp"))
"""Horsepower of a motor is its shaft's: what it draws is for a table to say, not for a factor."""
