"""How the panelboard is mounted."""

from __future__ import annotations

from changeout.domain.findings import Advice, Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, words
from changeout.rules._registry import Limits, rule

UPRIGHT = ("vertical", "horizontal")
"""On a wall, either way up. Horizontal is used where upright will not do, the handles reading on and off correctly
(240.33 and 240.81, from memory)."""


@rule(
    "panelboard-orientation",
    group="replacement",
    about="/panelboard/orientation",
    stage=Stage.INSPECTION,
    needs=("/panelboard/orientation",),
    applies_to="every proposal",
    parameters={"not_allowed": "words"},
)
def panelboard_orientation(case: Case, limits: Limits) -> Answer:
    """The panelboard hangs on a wall and lies neither face-up nor face-down, as far as the edition bars it.

    Because: dirt and water gather on a face that looks up, and handles are not read as they should be.
    Passes: when it is vertical, or horizontal with handles that read on and off correctly.
    Fails: when its orientation is one that the edition does not allow.
    Cannot tell: when it is not stated.
    """
    orientation = case.panelboard.orientation
    barred = limits.words("not_allowed")
    if orientation.value is not None and orientation.value not in (*UPRIGHT, *barred):
        return advise(
            f"the panelboard is mounted {orientation.value}, which this section does not bar; enclosures of "
            "overcurrent devices are mounted vertically unless that is impracticable",
            orientation,
            notes=Notes(advice=Advice.READING),
        )
    return decide(
        orientation.among(*UPRIGHT),
        yes=f"the panelboard is mounted {orientation.value}",
        no=f"the panelboard is mounted {orientation.value}",
        unknown="not stated: how the panelboard is mounted",
        found=words("orientation", orientation.value) if orientation.value else None,
        required=words("orientation", " or ".join(UPRIGHT)),
        notes=Notes(
            cautions=("See that the handles read on and off correctly.",) if orientation.value == "horizontal" else (),
            remedy="mount the panelboard upright on a wall",
        ),
    )
