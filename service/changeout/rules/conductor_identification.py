"""Identification of conductors at the panelboard."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "conductor-identification",
    group="circuits",
    about="/panelboard/conductors_identified",
    stage=Stage.INSPECTION,
    needs=("/panelboard/conductors_identified",),
    applies_to="every proposal",
)
def conductor_identification(case: Case, _limits: Limits) -> Answer:
    """Conductors are identified, and where the building has two voltage systems the scheme is posted or documented.

    Because: a wire that can be taken for another one gets landed where its voltage does not belong.
    Passes: when the identification is declared.
    Fails: when it is declared missing.
    Cannot tell: when nothing is said of it.
    Not covered: which colors or marks are used.
    """
    return decide(
        case.panelboard.conductors_identified.claim,
        yes="the conductors are identified",
        no="the conductors are not identified",
        notes=Notes(
            remedy="identify grounded and ungrounded conductors; where there are two systems, post the scheme or "
            "keep it documented and at hand"
        ),
    )
