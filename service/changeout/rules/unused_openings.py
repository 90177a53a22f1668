"""Breaker openings and knockouts that nothing uses."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "unused-openings-closed",
    group="replacement",
    about="/enclosure/unused_openings_closed",
    stage=Stage.INSPECTION,
    needs=("/enclosure/unused_openings_closed",),
    applies_to="every proposal",
)
def unused_openings(case: Case, _limits: Limits) -> Answer:
    """Unused breaker openings and knockouts are closed.

    Because: an opening lets fingers, vermin and hot gas through.
    Passes: when they are declared closed.
    Fails: when they are declared open.
    Cannot tell: when it is not stated.
    """
    return decide(
        case.enclosure.unused_openings_closed.claim,
        yes="unused breaker openings and knockouts are declared closed",
        no="unused breaker openings or knockouts are open",
        unknown="not stated: whether unused breaker openings and knockouts are closed",
        notes=Notes(remedy="close them with the fillers and closures made for them, and submit a photo"),
    )
