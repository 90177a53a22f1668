"""The bar for equipment grounding conductors in the cabinet."""

from __future__ import annotations

from changeout.domain.facts import Claim, any_claim, certain
from changeout.domain.findings import Advice, Answer, Stage
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable
from changeout.rules._registry import Limits, rule

_WITH_WIRES = ("nonmetallic-cable-with-ground",)
_WITHOUT_WIRES = ("metal-raceway", "armored-cable", "knob-and-tube", "nonmetallic-cable-without-ground")


@rule(
    "equipment-grounding-terminal-bar",
    group="grounding-and-bonding",
    about="/grounding/equipment_terminal_bar",
    stage=Stage.INSPECTION,
    needs=(
        "/grounding/equipment_terminal_bar",
        "/grounding/equipment_grounding_conductor/kind",
        "/grounding/equipment_grounding_conductor/size",
        "/supply/runs/*/raceway",
        "/panelboard/circuits/*/wiring_method",
        "/enclosure/material",
        "/panelboard/role",
    ),
    applies_to="panelboards that any equipment grounding conductor of wire comes to",
)
def grounding_terminal_bar(case: Case, _limits: Limits) -> Answer:
    """Equipment grounding conductors end on a bar that is fixed in the cabinet and bonded to its metal.

    Because: a grounding wire under a cover screw, or twisted with others, is loose the day it is needed.
    Passes: when a bar is declared; in a nonmetallic box it is joined to the grounding conductor of the supply.
    Fails: when it is declared that there is none, and a grounding conductor of wire comes with the supply or a
        circuit, or the supply comes in a nonmetallic raceway.
    Cannot tell: when nothing is said of it. Where nothing shows a grounding conductor of wire, its absence gets advice.
    Not covered: isolated grounding, and how many wires each terminal is made for.
    """
    bar = case.grounding.equipment_terminal_bar
    wires = _wires_come(case)
    if bar.claim.fails and wires.fails:
        return not_applicable(
            "every wiring method stated grounds by its metal, so that no bar is asked for", wires, bar
        )
    if bar.claim.fails and wires.unknown:
        return advise(
            "there is no bar for equipment grounding conductors; that is in order only where every wiring method "
            "grounds by its metal, which is not shown",
            bar,
            wires,
            notes=Notes(
                remedy="fit a bar, or show that no grounding conductor of wire comes in", advice=Advice.READING
            ),
            missing=wires.missing,
        )
    nonmetallic = case.enclosure.material.value == "nonmetallic"
    where = "joined to the grounding conductor of the supply" if nonmetallic else "bonded to the cabinet"
    return decide(
        bar.claim,
        yes=f"there is a bar for equipment grounding conductors, {where}",
        no="there is no bar for the equipment grounding conductors that come in",
        unknown=f"not stated: whether there is a bar for equipment grounding conductors, {where}",
        notes=Notes(remedy=f"fit a bar made for the panelboard, {where}", cautions=_neutral_bar(case)),
    )


def _wires_come(case: Case) -> Claim:
    """Return the claim that a grounding conductor of wire comes in; known not to where every method is said."""
    grounding = case.grounding.equipment_grounding_conductor
    run = case.supply.runs.items[-1] if case.supply.runs.items else None
    by_wire = grounding.kind.among("wire")
    if not grounding.kind.stated and grounding.size.stated:
        by_wire = certain(grounding.size.stated, grounding.size)
    supply = by_wire if run is None else by_wire | run.raceway.among("nonmetallic")
    if case.panelboard.role.among("service").holds and run is not None:
        supply = run.raceway.among("nonmetallic")
    circuits = case.panelboard.circuits
    branch = any_claim(_brings_wire(circuit) for circuit in circuits)
    if not circuits.stated:
        branch = Claim(Truth.UNKNOWN, circuits.inputs, circuits.missing)
    return supply | branch


def _brings_wire(circuit: Circuit) -> Claim:
    """Return the claim that the circuit brings a grounding conductor of wire: unknown for methods with or without."""
    method = circuit.wiring_method
    if method.value in _WITH_WIRES:
        return Claim(Truth.YES, method.inputs)
    if method.value in _WITHOUT_WIRES:
        return Claim(Truth.NO, method.inputs)
    return Claim(Truth.UNKNOWN, method.inputs, method.inputs)


def _neutral_bar(case: Case) -> tuple[str, ...]:
    if not case.panelboard.role.among("service").holds:
        return ()
    return ("In a service panelboard the neutral bar can serve where it is identified for that.",)
