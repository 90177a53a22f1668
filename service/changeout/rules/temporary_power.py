"""Temporary power during the change-over."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "temporary-power-during-change-over",
    group="process",
    about="/work/temporary_power",
    stage=Stage.INSPECTION,
    needs=("/work/temporary_power",),
    applies_to="every proposal",
)
def temporary_power(case: Case, _limits: Limits) -> Answer:
    """Temporary power during the change-over is said, be there any or none.

    Because: a temporary supply nobody has planned is a supply without protection and without an end.
    Passes: when it is stated that none is needed, or that it is planned.
    Fails: never by itself; what is planned is looked at on site.
    Cannot tell: when nothing is said of it.
    Not covered: the protection of the temporary wiring and how long it stays, which are seen on site.
    """
    power = case.work.temporary_power
    planned = power.among("planned").holds
    return decide(
        power.among("none", "planned"),
        yes="temporary power is planned for the change-over" if planned else "no temporary power is used",
        no="what is said of temporary power cannot be used",
        unknown="not stated: whether temporary power is used for the change-over, how it is protected and how long",
        notes=Notes(
            cautions=("Temporary power is protected against overcurrent and ground faults and removed after the work.",)
            if planned
            else (),
        ),
    )
