"""Ready access to the overcurrent devices."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "overcurrent-devices-readily-accessible",
    group="location",
    about="/location/readily_accessible",
    stage=Stage.INSPECTION,
    needs=("/location/readily_accessible",),
    applies_to="every proposal",
)
def ready_access(case: Case, _limits: Limits) -> Answer:
    """The overcurrent devices can be reached quickly, without a ladder, tools or moving things.

    Because: in an emergency the time to clear the way is not there.
    Passes: when the panelboard is declared readily accessible.
    Fails: when it is declared not so.
    Cannot tell: when nothing is said of it.
    """
    return decide(
        case.location.readily_accessible.claim,
        yes="the overcurrent devices are readily accessible",
        no="the overcurrent devices are not readily accessible",
        notes=Notes(remedy="clear the access to the panelboard, or place it where it can be reached"),
    )
