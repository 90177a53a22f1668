"""A panelboard in an enclosure, with a dead front."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "panelboard-in-enclosure-with-dead-front",
    group="replacement",
    about="/enclosure/dead_front",
    stage=Stage.INTAKE,
    needs=("/enclosure/kind", "/enclosure/dead_front", "/location/qualified_persons_only"),
    applies_to="every proposal",
)
def dead_front(case: Case, _limits: Limits) -> Answer:
    """The panelboard sits in an enclosure and has a dead front, or only qualified persons can get to it.

    Because: a missing or home-made dead front leaves live parts within reach of whoever opens the door.
    Passes: when the dead front is declared, or the place is declared accessible to qualified persons only.
    Fails: when there is no dead front where others than qualified persons can get.
    Cannot tell: when neither is stated.
    """
    front, qualified = case.enclosure.dead_front, case.location.qualified_persons_only
    return decide(
        front.claim | qualified.claim,
        yes="the enclosed panelboard has a dead front"
        if front.claim.holds
        else "the panelboard needs no dead front where only qualified persons can get to it, as is declared",
        no="the panelboard has no dead front and is not accessible to qualified persons only",
        unknown="not stated: whether the panelboard has a dead front",
        notes=Notes(
            rests_on=(case.enclosure.kind,),
            remedy="fit the dead front made for the panelboard and its enclosure, and submit a photo or the parts list",
        ),
    )
