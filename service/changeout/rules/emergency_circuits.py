"""Emergency circuits in the panelboard."""

from __future__ import annotations

from typing import Final

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, not_applicable, under
from changeout.rules._registry import Limits, rule

_STANDBY: Final = (
    "Circuits that are legally required standby and no emergency ones may share wiring with others, 701.10."
)
"""Source: trade magazine, ecmweb.com, 'NEC Requirements for Standby Power Systems', 18 March 2024 (701.10)."""


@rule(
    "emergency-circuits-separate",
    group="other-sources",
    about="/panelboard/emergency_circuits",
    stage=Stage.INSPECTION,
    needs=("/project/occupancy", "/panelboard/emergency_circuits"),
    applies_to="occupancies that commonly have emergency circuits, and panelboards declared to have some",
    parameters={"occupancies": "words"},
)
def emergency_circuits(case: Case, limits: Limits) -> Answer:
    """No emergency, legally required or essential-system circuits are mixed into the panelboard.

    Because: a fault on an ordinary circuit must not darken the way out or stop what keeps people alive.
    Passes: when it is declared that the panelboard feeds none.
    Fails: when it is declared that it feeds some among its others.
    Cannot tell: when nothing is said of it, in an occupancy that commonly has such circuits.
    Not covered: a panelboard for emergency circuits alone, or a section of its own for them, which must be shown.
    """
    occupancy, given = case.project.occupancy.among(*limits.words("occupancies")), case.panelboard.emergency_circuits
    if occupancy.fails and not given.claim.holds:
        return not_applicable(
            "occupancies of this kind seldom have emergency circuits, and none is declared", occupancy
        )
    return under(
        occupancy | given.claim,
        decide(
            ~given.claim,
            yes="the panelboard feeds no emergency circuits",
            no="the panelboard feeds emergency circuits, which are kept out of it or in a section of their own",
            unknown="not stated: whether the panelboard feeds emergency, legally required or essential-system circuits",
            notes=Notes(
                remedy="move them to a panelboard of their own, or show that a section of their own holds them",
                cautions=() if given.claim.fails else (_STANDBY,),
            ),
        ),
        otherwise="no emergency circuits are declared",
    )
