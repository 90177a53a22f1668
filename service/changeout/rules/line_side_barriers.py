"""Barriers over the line side of service equipment."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "line-side-barriers-in-service-equipment",
    group="service",
    about="/service/line_side_barriers",
    stage=Stage.INSPECTION,
    needs=("/panelboard/role", "/service/line_side_barriers"),
    applies_to="service equipment",
)
def line_side_barriers(case: Case, _limits: Limits) -> Answer:
    """Barriers keep bare line-side parts of service equipment from being touched while the load side is serviced.

    Because: opening the main does not make the line side dead.
    Passes: when the barriers are declared to be in place.
    Fails: when they are declared missing.
    Cannot tell: when nothing is said of them, or whether the panelboard is service equipment is not stated.
    """
    answer = decide(
        case.service.line_side_barriers.claim,
        yes="barriers shield the bare line-side parts of the service equipment",
        no="no barriers shield the bare line-side parts of the service equipment",
        unknown="not stated: whether barriers shield the bare line-side parts of the service equipment",
        notes=Notes(
            remedy="install the maker's line-side barriers",
            cautions=("The line side of the service equipment stays live when its main is off.",),
        ),
    )
    return under(
        case.panelboard.role.among("service"),
        answer,
        otherwise="a feeder supplies the panelboard, and these barriers are asked for in service equipment",
    )
