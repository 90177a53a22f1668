"""What a value was probably meant to be, where it only misses the form. Never taken, only suggested."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from typing import Final

from changeout.intake.quantity import Family

_LONGEST: Final = 64
"""Longer texts are not looked at: comparing them costs time and finds nothing."""

_NUMBER_AND_UNIT: Final = re.compile(
    r"\s*\+?(?P<number>[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]*\.?[0-9]+(?:[eE][+-]?[0-9]{1,3})?)\.?"
    r"[\s_-]*(?P<unit>[^\s0-9].*?)\s*",
    re.ASCII,
)
_BETWEEN_WORDS: Final = re.compile(r"[\s_#.\-]+")
_LIKENESS: Final = 0.75

_SPELLINGS: Final[Mapping[str, str]] = {
    spelling: unit
    for unit, spellings in {
        "A": "amp amps ampere amperes",
        "kA": "kaic kamp kamps kiloamp kiloamps kiloampere kiloamperes",
        "VA": "voltamp voltamps voltampere voltamperes",
        "kVA": "kilovoltamperes",
        "W": "watt watts",
        "kW": "kilowatt kilowatts",
        "hp": "horsepower",
        "ft": "foot feet ' \u2032",
        "in": "inch inches \" \u2033 ''",
        "m": "meter meters metre metres",
        "cm": "centimeter centimeters centimetre centimetres",
        "mm": "millimeter millimeters millimetre millimetres",
        "ft2": "ft^2 ft**2 ft\u00b2 sqft sf squarefeet squarefoot",
        "m2": "m^2 m**2 m\u00b2 sqm squaremeters squaremetres",
        "in2": "in^2 in**2 in\u00b2 sqin squareinches",
        "ohm": "ohms \u03c9",
        "mohm": "m\u03c9 milliohm milliohms",
        "ohm/kft": "ohms/kft \u03c9/kft ohm/1000ft ohms/1000ft \u03c9/1000ft",
        "ohm/km": "ohms/km \u03c9/km",
        "degC": "c \u00b0c celsius degreesc",
        "degF": "f \u00b0f fahrenheit degreesf",
    }.items()
    for spelling in spellings.split()
}


def likely_quantity(text: str, family: Family) -> str | None:
    """Return *text* in the form of the family, where its number and unit can be told, else None."""
    found = _NUMBER_AND_UNIT.fullmatch(text) if len(text) <= _LONGEST else None
    if found is None:
        return None
    unit = _likely_unit(found["unit"], family)
    if unit is None:
        return None
    number = found["number"].replace(",", "")
    number = f"0{number}" if number.startswith(".") else number.lstrip("0") or "0"
    return f"{'0' if number.startswith('.') else ''}{number} {unit}"


def _likely_unit(written: str, family: Family) -> str | None:
    plain = _BETWEEN_WORDS.sub("", written).casefold()
    for unit in family.units:
        if plain == unit.casefold():
            return None if unit == "mohm" and written.startswith("M") else unit
    spelled = _SPELLINGS.get(plain)
    return spelled if spelled in family.units else None


def likely_word(text: str, words: Iterable[str], other_spellings: Mapping[str, str] | None = None) -> str | None:
    """Return the word of the list that *text* spells with other case, spaces or a slip of the pen, else None.

    Words with digits are never guessed from their likeness: 240 V is not a misspelt 480 V.
    """
    if len(text) > _LONGEST:
        return None
    known = {plain_word(word): word for word in words} | dict(other_spellings or {})
    plain = plain_word(text)
    if plain in known:
        return known[plain]
    lettered = [] if _has_digit(plain) else [word for word in known if not _has_digit(word)]
    return next((known[near] for near in difflib.get_close_matches(plain, lettered, n=1, cutoff=_LIKENESS)), None)


def plain_word(text: str) -> str:
    """Return *text* without case, spaces, hyphens, underscores, dots and number signs."""
    return _BETWEEN_WORDS.sub("", text).casefold()


def nearest_name(name: str, known: Iterable[str]) -> str | None:
    """Return the known member name that is most like *name*, or None where none is."""
    if len(name) > _LONGEST:
        return None
    names = {plain_word(known_name): known_name for known_name in known}
    near = difflib.get_close_matches(plain_word(name), names, n=1, cutoff=0.6)
    return names[near[0]] if near else None


def _has_digit(text: str) -> bool:
    return any(character.isdigit() for character in text)
