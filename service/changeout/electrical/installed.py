"""The ampacity of every conductor of a proposal as installed, in one calculation.

Conductors of which the same is known share their lines.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from changeout.domain.calculation import Calculation, Result, Step
from changeout.domain.facts import Listed, Measured, Measurement, Number, merged
from changeout.domain.interval import Interval
from changeout.domain.proposal import Circuit, Panelboard, Run, Supply
from changeout.domain.value import value
from changeout.electrical.ampacity import installed_ampacity
from changeout.electrical.installation import Conductors, Terminals, conductors_of_circuit, conductors_of_run
from changeout.electrical.steps import remark
from changeout.tables.ampacity import AmpacitySections

ID: Final = "ampacity"
TITLE: Final = "Ampacity of the conductors as installed"

UNMARKED: Final = Number("", 0.0, math.inf)
"""A number that no member of a proposal states: the marking of terminals elsewhere, the rating of a device there."""

_FAR_TERMINALS: Final = "Terminals of runs that end before the panelboard are taken as marked like its own."
_PRIMARY_TERMINALS: Final = "Terminals before the transformer on the premises are taken as not marked."


@value(frozen=True, slots=True, kw_only=True)
class Installed:
    """Conductors with the terminals at their ends: their kind and label in words, and the mark of their symbols."""

    kind: str
    label: str
    mark: str
    conductors: Conductors
    terminals: Terminals

    @property
    def known(self) -> tuple[object, ...]:
        """Everything that the ampacity depends on: equal for conductors that share their lines."""
        c = self.conductors
        facts = (c.size.value, c.material.value, c.insulation_degc.value)
        return (self.kind, *facts, c.ambient.values, c.count.values, c.sets.values, self.terminals.columns)


def of_supply(supply: Supply, panelboard: Panelboard, device_a: Measured) -> tuple[Installed, ...]:
    """Return the runs that lead to the panelboard, the last one last.

    *device_a* is the rating of the device that they serve.
    """
    marked = panelboard.termination_temperature_degc
    return tuple(_runs("run", "", supply.runs, Terminals(marked_degc=marked, circuit_a=device_a)))


def of_primary(supply: Supply) -> tuple[Installed, ...]:
    """Return the runs before a transformer on the premises. Nobody states their terminals."""
    unit, device = supply.separately_derived, supply.overcurrent_device
    if unit is None:
        return ()
    before = device is not None and device.position.among("before-transformer").holds
    rating: Measured = device.rating_a if device is not None and before else UNMARKED
    terminals = Terminals(marked_degc=UNMARKED, circuit_a=rating)
    return tuple(_runs("primary run", "p", unit.primary_runs, terminals))


def of_circuits(panelboard: Panelboard) -> tuple[Installed, ...]:
    """Return the conductors of every circuit that is stated, one set each."""
    marked = panelboard.termination_temperature_degc
    return tuple(_circuit(circuit, place, marked) for place, circuit in enumerate(panelboard.circuits, start=1))


def _circuit(circuit: Circuit, place: int, marked: Number) -> Installed:
    number = circuit.number.value
    label = f"(entry {place})" if number is None else f"{number:g}"
    return Installed(
        kind="circuit",
        label=label,
        mark=f"c{label}",
        conductors=conductors_of_circuit(circuit.conductor),
        terminals=Terminals(marked_degc=marked, circuit_a=circuit.breaker.rating_a),
    )


def _runs(kind: str, mark: str, runs: Listed[Run], terminals: Terminals) -> Iterator[Installed]:
    for place, run in enumerate(runs, start=1):
        yield Installed(
            kind=kind,
            label=run.id.value or str(place),
            mark=f"{mark}{place}",
            conductors=conductors_of_run(run),
            terminals=terminals,
        )


@value(frozen=True, slots=True, kw_only=True)
class _Done:
    """Conductors and the calculation of their ampacity."""

    installed: Installed
    made: Calculation


def ampacity_calculation(
    supply: Supply, panelboard: Panelboard, device_a: Measured, cited: AmpacitySections
) -> Calculation:
    """Return the ampacity of the supply's runs and of every circuit's conductors as installed.

    What rules compare is that of the run that ends at the panelboard. *device_a* is the rating of the device that
    the supply conductors serve; *cited* says where the edition has the tables.
    """
    runs = of_supply(supply, panelboard, device_a)
    done = [
        _Done(installed=one, made=installed_ampacity(one.conductors, one.terminals, cited))
        for one in (*of_primary(supply), *runs, *of_circuits(panelboard))
    ]
    own = next((d.made.result for d in reversed(done) if runs and d.installed is runs[-1]), _without_runs(supply.runs))
    groups = _alike(done)
    return Calculation(
        id=ID,
        title=TITLE,
        result=Measurement(
            own.interval,
            _pointers(own.inputs, *(d.made.result.inputs for d in done)),
            _pointers(own.missing, *(d.made.result.missing for d in done)),
        ),
        unit="A",
        results=tuple(_result(d) for d in done),
        steps=(*_no_runs(supply.runs), *(line for group in groups for line in _lines(group))),
        assumptions=tuple(dict.fromkeys(_assumptions(done, several=len(runs) > 1))),
        cautions=tuple(f"{_named(group)}: {said}." for group in groups for said in group[0].made.cautions),
    )


def _alike(done: Sequence[_Done]) -> list[list[_Done]]:
    groups: dict[tuple[object, ...], list[_Done]] = {}
    for one in done:
        groups.setdefault(one.installed.known, []).append(one)
    return list(groups.values())


def _named(group: Sequence[_Done]) -> str:
    """Return what a group is called: ``run lateral``, ``circuits 1, 3``."""
    kind, labels = group[0].installed.kind, ", ".join(one.installed.label for one in group)
    return f"{kind if len(group) == 1 else f'{kind}s'} {labels}"


def _result(done: _Done) -> Result:
    (own,) = done.made.results
    return replace(own, name=f"{_named((done,))}, {own.name}")


def _lines(group: Sequence[_Done]) -> Iterator[Step]:
    for place, line in enumerate(group[0].made.steps):
        name = line.name if place else f"{_named(group)}: {line.name}"
        yield replace(line, symbol=f"{line.symbol}({group[0].installed.mark})", name=name)


def _assumptions(done: Sequence[_Done], *, several: bool) -> Iterator[str]:
    for one in done:
        yield from (f"{said[:1].upper()}{said[1:]}." for said in one.made.assumptions)
    if several:
        yield _FAR_TERMINALS
    if any(one.installed.terminals.marked_degc is UNMARKED for one in done):
        yield _PRIMARY_TERMINALS


def _without_runs(runs: Listed[Run]) -> Measurement:
    """Return the ampacity where no run is stated: no bound is known."""
    return Measurement(Interval(0.0, math.inf), runs.inputs, runs.missing)


def _no_runs(runs: Listed[Run]) -> tuple[Step, ...]:
    if len(runs):
        return ()
    words = "no conductors lie between source and panelboard" if runs.stated else "the supply conductors are not stated"
    return (remark("-", "supply conductors", words, "proposal"),)


def _pointers(*groups: tuple[str, ...]) -> tuple[str, ...]:
    """Return the pointers once each, without the one that stands for no member."""
    return tuple(pointer for pointer in merged(*groups) if pointer != UNMARKED.at)
