"""The kinds of member a proposal has. Each takes one JSON type and converts none into another.

A field says in its metadata what the member is called, what it means, and where in the field the fact is found.
``null`` never reaches a field: for an optional member it means the same as leaving the member out.
"""

from changeout.intake.fields.member import Member, Options, about
from changeout.intake.fields.plain import Count, Flag, Numeric, Ratio, Version
from changeout.intake.fields.texts import DAY_PATTERN, TEXT_PATTERN, Annotations, Day, DocumentRef, Text
from changeout.intake.fields.words import Size, Word, Words
from changeout.intake.fields.written import (
    VOLTAGE_PATTERN,
    Load,
    PowerOrCurrent,
    Quantity,
    Voltage,
    VoltageRating,
    Written,
)

__all__ = [
    "DAY_PATTERN",
    "TEXT_PATTERN",
    "VOLTAGE_PATTERN",
    "Annotations",
    "Count",
    "Day",
    "DocumentRef",
    "Flag",
    "Load",
    "Member",
    "Numeric",
    "Options",
    "PowerOrCurrent",
    "Quantity",
    "Ratio",
    "Size",
    "Text",
    "Version",
    "Voltage",
    "VoltageRating",
    "Word",
    "Words",
    "Written",
    "about",
]
