"""The general arc-flash warning."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.domain.occupancy import dwelling_unit
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "arc-flash-warning-marking",
    group="markings",
    about="/service/arc_flash_warning",
    stage=Stage.INSPECTION,
    needs=("/project/occupancy", "/project/serves", "/service/arc_flash_warning"),
    applies_to="equipment outside dwelling units that may be worked on live",
)
def arc_flash_warning(case: Case, _limits: Limits) -> Answer:
    """Equipment outside dwelling units that may be worked on live has the general arc-flash warning.

    Because: the warning is what a qualified person sees before the cover comes off.
    Passes: when the finished work is declared to have the warning.
    Fails: when it is declared to have none.
    Cannot tell: when nothing is said of it, or what the equipment of an apartment house serves is not stated.
    """
    answer = decide(
        case.service.arc_flash_warning.claim,
        yes="the equipment has the general arc-flash warning",
        no="the equipment has no general arc-flash warning",
        notes=Notes(remedy="put the warning where it is seen before the equipment is opened"),
    )
    return under(
        ~dwelling_unit(case.project), answer, otherwise="the equipment of a dwelling unit needs no arc-flash warning"
    )
