"""Which circuit stands in which position of a panelboard: odd numbers left, even right, poles one below the other.

Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from changeout.domain.proposal import Circuit, Panelboard


@dataclass(frozen=True, slots=True, kw_only=True)
class Positions:
    """The positions of a panelboard.

    ``taken`` has the circuits at each position (more than one where the proposal has them overlap); ``count`` is
    how many positions are shown, ``is_known`` whether the panelboard's own number of positions is stated.
    ``unplaced`` are circuits without a number.
    """

    taken: Mapping[int, tuple[Circuit, ...]]
    count: int
    is_known: bool
    unplaced: tuple[Circuit, ...]

    @property
    def rows(self) -> int:
        """How many rows of two positions there are."""
        return self.count // 2

    def begins(self, place: int) -> bool:
        """Whether a circuit has its first pole at *place*."""
        return any(first_place(circuit) == place for circuit in self.taken.get(place, ()))

    def rows_of(self, place: int) -> int:
        """Return how many rows the circuits that begin at *place* take, down to where another begins."""
        most = max(len(places_of(c)) for c in self.taken[place] if first_place(c) == place)
        rows = 1
        while rows < most and not self.begins(place + 2 * rows):
            rows += 1
        return rows


def positions_of(panelboard: Panelboard) -> Positions:
    """Return the positions of the circuits, as many as are marked or taken."""
    taken: dict[int, list[Circuit]] = {}
    unplaced = []
    for circuit in panelboard.circuits:
        if circuit.number.value is None:
            unplaced.append(circuit)
            continue
        for place in places_of(circuit):
            taken.setdefault(place, []).append(circuit)
    marked = panelboard.marked_maximum_poles.value
    count = max([int(marked or 0), *taken])
    return Positions(
        taken={place: tuple(circuits) for place, circuits in taken.items()},
        count=count + count % 2,
        is_known=marked is not None,
        unplaced=tuple(unplaced),
    )


def places_of(circuit: Circuit) -> tuple[int, ...]:
    """Return the positions that a circuit takes; one where its poles are not stated."""
    return tuple(first_place(circuit) + 2 * pole for pole in range(int(circuit.poles.value or 1)))


def first_place(circuit: Circuit) -> int:
    """Return the position of a circuit's first pole; 0 where its number is not stated."""
    return int(circuit.number.value or 0)
