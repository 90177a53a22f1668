"""The clear width in front of the panelboard."""

from __future__ import annotations

from changeout.domain.facts import fixed, greatest_of
from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_least
from changeout.rules._registry import Limits, rule


@rule(
    "working-space-width",
    group="location",
    about="/location/working_space/width",
    stage=Stage.INTAKE,
    needs=("/location/working_space/width", "/enclosure/width"),
    applies_to="every proposal",
    parameters={"min_in": "number"},
)
def working_space_width(case: Case, limits: Limits) -> Answer:
    """The clear width in front is at least the edition's and at least the width of the equipment.

    Because: whoever works in front of open live parts needs room to draw back.
    Passes: when the clear width is at or above the greater of both.
    Fails: when it is below the edition's width, or below the known width of the equipment.
    Cannot tell: when the clear width is not stated, or the width of the equipment is not and it could be wider.
    Not covered: doors that must open through a right angle within the width.
    """
    return at_least(
        Quantity(name="clear width of the working space", number=case.location.working_space.width_in),
        Quantity(
            name="width that the working space needs",
            number=greatest_of(fixed(limits.number("min_in")), case.enclosure.width_in),
        ),
        "in",
        Notes(remedy="clear the working space to its full width, or place the panelboard where there is room"),
    )
