"""Terminals for the neutrals of the circuits."""

from __future__ import annotations

import math

from changeout.domain.facts import Measurement, merged
from changeout.domain.findings import Answer, Stage
from changeout.domain.interval import Interval
from changeout.domain.proposal import Circuit
from changeout.electrical.systems import SYSTEMS
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_least, bare
from changeout.rules._registry import Limits, rule


@rule(
    "one-neutral-per-terminal",
    group="grounding-and-bonding",
    about="/panelboard/neutral_terminals",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/neutral_terminals",
        "/panelboard/circuits",
        "/panelboard/circuits/*/neutral",
        "/panelboard/circuits/*/poles",
        "/panelboard/circuits/*/multiwire_group",
        "/supply/system",
    ),
    applies_to="every proposal",
)
def neutral_terminals(case: Case, _limits: Limits) -> Answer:
    """There is a terminal of its own for each neutral of a circuit.

    Because: with two neutrals under one screw, loosening one opens the other, and loads for 120 V get up to 240 V.
    Passes: when there are at least as many neutral terminals as neutrals of circuits; circuits of one multiwire group
        share theirs.
    Fails: when there are fewer.
    Cannot tell: when the terminals, the circuits or whether one has a neutral is not stated and decides.
    Not covered: the neutral of the supply, which has lugs of its own, and parallel neutrals.
    """
    return at_least(
        Quantity(name="number of neutral terminals", number=case.panelboard.neutral_terminals),
        Quantity(name="number of circuits with a neutral", number=_neutrals(case)),
        "",
        Notes(remedy="add a neutral bar made for the panelboard, so that each neutral has a terminal of its own"),
    )


def _neutrals(case: Case) -> Measurement:
    circuits = case.panelboard.circuits
    if not circuits.stated:
        return Measurement(Interval(0.0, math.inf), circuits.inputs, circuits.missing)
    shared: dict[str, tuple[int, int]] = {}
    for circuit in circuits:
        group = bare(circuit.multiwire_group.value) if circuit.multiwire_group.value is not None else circuit.at
        least, most = shared.get(group, (0, 0))
        low, high = _bounds(case, circuit)
        shared[group] = (max(least, low), max(most, high))
    number = Interval(float(sum(low for low, _ in shared.values())), float(sum(high for _, high in shared.values())))
    missing = merged(*(_open(case, circuit) for circuit in circuits)) if not number.is_point else ()
    return Measurement(number, circuits.inputs, missing)


def _bounds(case: Case, circuit: Circuit) -> tuple[int, int]:
    """Return how many neutrals a circuit has, at least and at most; a single pole has one where there is a neutral."""
    if circuit.neutral.stated:
        has = int(circuit.neutral.value != "none")
        return has, has
    system = case.supply.system.value
    if system is not None and SYSTEMS[system].line_to_neutral_v is None:
        return 0, 0
    return (1, 1) if circuit.poles.value == 1 and system is not None else (0, 1)


def _open(case: Case, circuit: Circuit) -> tuple[str, ...]:
    low, high = _bounds(case, circuit)
    return circuit.neutral.missing if low != high else ()
