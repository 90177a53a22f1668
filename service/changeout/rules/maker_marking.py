"""The maker's marking of the panelboard after installation."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "panelboard-maker-marking",
    group="markings",
    about="/panelboard/marking_visible",
    stage=Stage.INSPECTION,
    needs=("/panelboard/marking_visible",),
    applies_to="every proposal",
)
def maker_marking(case: Case, _limits: Limits) -> Answer:
    """The panelboard's maker, voltage, current and phases can be read after installation without disturbing the wiring.

    Because: every rating that was checked on paper is found again on the equipment by that marking alone.
    Passes: when the marking is declared visible.
    Fails: when it is declared not visible.
    Cannot tell: when nothing is said of it.
    """
    return decide(
        case.panelboard.marking_visible.claim,
        yes="the panelboard's marking is visible after installation without disturbing the wiring",
        no="the panelboard's marking cannot be read after installation without disturbing the wiring",
        notes=Notes(remedy="place the panelboard or its marking so that it can be read"),
    )
