"""Members in words and numbers as a proposal writes them, for questions, thresholds and remedies."""

from __future__ import annotations

from typing import Final

from changeout.intake.fields import Count, Member, Quantity, Word, Words
from changeout.intake.members import find, question
from changeout.intake.pointers import split

_LARGER: Final = {"A": ("kA", 1000.0), "VA": ("kVA", 1000.0), "W": ("kW", 1000.0), "in": ("ft", 12.0)}
"""The larger unit that a number of a base unit is written in, and how many of the base unit it is."""

_IN_FEET: Final = frozenset({"length", "extended_by", "distance_inside", "door_distance"})
_IN_KILO: Final = frozenset(
    {
        "short_circuit_rating",
        "interrupting_rating",
        "combination_rating",
        "evaluated_for",
        "available_fault_current",
        "line_to_neutral_fault_current",
        "nominal_discharge_current",
        "upstream_interrupting_rating",
        "rating",
        "value",
    }
)


class ProposalMembers:
    """The members of a proposal by JSON Pointer."""

    def ask(self, pointer: str) -> str:
        """Return the question for a member, with where its answer is found."""
        return question(pointer)

    def unit(self, pointer: str) -> str:
        """Return the base unit of a number, ``count`` or ``ratio`` (``percent``) where it has none."""
        member = _member(pointer)
        if isinstance(member, Quantity):
            return member.family.bases[0]
        if isinstance(member, Count):
            return "count"
        return "percent" if pointer.endswith("_percent") else "ratio"

    def words(self, pointer: str) -> tuple[str, ...]:
        """Return the words that a member can be, empty where it is no word."""
        member = _member(pointer)
        if isinstance(member, Words):
            return member.one.words
        return member.words if isinstance(member, Word) else ()

    def written(self, pointer: str, value: float) -> object:
        """Return a number as a proposal writes it at this member: ``"22 kA"``, ``"31 ft"``, ``1.72``."""
        member = _member(pointer)
        if isinstance(member, Count):
            return round(value)
        if not isinstance(member, Quantity):
            return value
        base, name = member.family.bases[0], split(pointer)[-1]
        unit, times = _LARGER.get(base, (base, 1.0))
        larger = name in _IN_FEET if unit == "ft" else name in _IN_KILO and value >= times
        number, shown = (value / times, unit) if larger and unit in member.family.units else (value, base)
        return f"{number:.10g} {shown}"

    def label(self, pointer: str) -> str:
        """Return what a member is called, with its place where it lies in a list."""
        found = find(pointer)
        title = str(found[-1].metadata["title"]) if found else pointer
        places = [str(int(token) + 1) for token in split(pointer) if token.isdigit()]
        return f"{title} (entry {places[0]})" if places else title


def _member(pointer: str) -> Member | None:
    found = find(pointer)
    return found[-1] if found else None
