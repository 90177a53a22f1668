"""The number of poles against the panelboard's marking."""

from __future__ import annotations

from changeout.domain.findings import Answer, Judgement, Stage
from changeout.electrical.positions import poles_taken
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_most, not_applicable
from changeout.rules._registry import Limits, rule


@rule(
    "poles-within-marked-maximum",
    group="busbar-and-protection",
    about="/panelboard/marked_maximum_poles",
    stage=Stage.INTAKE,
    needs=("/panelboard/marked_maximum_poles", "/panelboard/circuits/*/poles"),
    applies_to="every panelboard with circuits",
)
def pole_count(case: Case, _limits: Limits) -> Answer:
    """The poles of the circuits are no more than the panelboard is marked for.

    Because: tandem breakers forced into positions that are not made for them defeat what keeps them out.
    Passes: when the poles of all circuits add up to the marked number or less; a two-pole breaker counts two.
    Fails: when they add up to more.
    Cannot tell: when the marked number, the circuits or the poles of one are not stated and decide.
    Not covered: the poles of the mains, which the marked number leaves out (from memory).
    """
    circuits = case.panelboard.circuits
    if not circuits.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the circuits, and the poles they take.",
            missing=circuits.missing,
        )
    if not circuits.items:
        return not_applicable("the panelboard has no circuits", circuits)
    return at_most(
        Quantity(name="number of poles of the circuits", number=poles_taken(circuits)),
        Quantity(name="number of poles that the panelboard is marked for", number=case.panelboard.marked_maximum_poles),
        "",
        Notes(remedy="use a panelboard that is marked for as many poles, or take circuits out"),
    )
