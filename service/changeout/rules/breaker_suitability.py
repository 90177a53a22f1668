"""Breakers that the panelboard is marked to take."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.findings import Answer, Judgement, Stage
from changeout.domain.proposal import Circuit
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, not_applicable
from changeout.rules._registry import Limits, rule


@rule(
    "breakers-suitable-for-panelboard",
    group="busbar-and-protection",
    about="/panelboard/circuits",
    stage=Stage.INTAKE,
    needs=("/panelboard/circuits/*/breaker/suitable_for_panelboard",),
    applies_to="every circuit of the panelboard",
)
def breaker_suitability(case: Case, _limits: Limits) -> Answer | Sequence[Answer]:
    """Every breaker is one that the panelboard is marked to take.

    Because: a breaker that fits but was never tested in the panelboard may not grip its busbar.
    Passes: when the breaker is declared to be one that the panelboard's marking names.
    Fails: when it is declared not to be.
    Cannot tell: when it is not stated.
    Not covered: the main, of which nothing of the kind can be stated.
    """
    circuits = case.panelboard.circuits
    if not circuits.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the circuits, and whether the panelboard is marked to take their breakers.",
            missing=circuits.missing,
        )
    if not circuits.items:
        return not_applicable("the panelboard has no circuits", circuits)
    return [_circuit(circuit) for circuit in circuits]


def _circuit(circuit: Circuit) -> Answer:
    return decide(
        circuit.breaker.suitable_for_panelboard.claim,
        yes="the breaker is declared to be one that the panelboard is marked to take",
        no="the breaker is declared not to be one that the panelboard is marked to take",
        unknown="not stated: whether the breaker is one that the panelboard is marked to take",
        notes=Notes(
            subject=circuit.at,
            remedy="use a breaker that the marking on the panelboard names, or show its listing for this panelboard",
        ),
    )
