"""The clear height in front of the panelboard."""

from __future__ import annotations

from changeout.domain.facts import fixed, greatest_of
from changeout.domain.findings import Advice, Answer, Stage
from changeout.domain.occupancy import dwelling_unit
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, advise, at_least, decide, figure, reaches, within
from changeout.rules._registry import Limits, rule

_REMEDY = "clear the working space to its full height, or place the panelboard where there is room"


@rule(
    "working-space-height",
    group="location",
    about="/location/working_space/height",
    stage=Stage.INTAKE,
    needs=(
        "/location/working_space/height",
        "/project/occupancy",
        "/project/serves",
        "/panelboard/busbar_rating",
        "/enclosure/top_height",
        "/location/existing",
    ),
    applies_to="every proposal",
    parameters={"min_in": "number", "existing_dwelling_max_a": "number"},
)
def working_space_height(case: Case, limits: Limits) -> Answer:
    """The working space is clear to the edition's height and to the top of the equipment.

    Because: whoever works in front of open live parts must be able to stand upright.
    Passes: when the clear height is at or above the greater of both; or the panelboard stays in its place in an
        existing dwelling unit and is rated no more than the relief allows.
    Fails: when it is lower and the relief does not hold.
    Cannot tell: when the clear height, the top of the equipment, or what the relief rests on is not stated and
        decides. A new place in an existing dwelling unit is read both ways and gets advice.
    Not covered: equipment that stands out further than the panelboard, above or below it.
    """
    height = case.location.working_space.height_in
    needed = greatest_of(fixed(limits.number("min_in")), case.enclosure.top_height_in)
    enough, most = reaches(height, needed), limits.number("existing_dwelling_max_a")
    board, unit = case.panelboard.busbar_rating_a, dwelling_unit(case.project)
    small, stays = unit & within(board, most), case.location.existing
    plain = at_least(
        Quantity(name="clear height of the working space", number=height),
        Quantity(name="height that the working space needs", number=needed),
        "in",
        Notes(remedy=_REMEDY),
    )
    if enough.holds or small.fails:
        return plain
    relieved = small & stays.claim
    if relieved.holds:
        return decide(
            relieved,
            yes="the panelboard stays in an existing dwelling unit and is rated no more than the relief allows",
            no=plain.message,
            found=figure("rating of the panelboard", board, "A"),
            required=figure("greatest rating with relief", fixed(most), "A", "<="),
        )
    if small.holds:
        return advise(
            f"{plain.message[:-1]}; the relief for existing dwelling units is read both ways for a panelboard in a new "
            "place",
            enough,
            small,
            *((stays,) if stays.stated else ()),
            notes=Notes(remedy=_REMEDY, advice=Advice.READING),
            missing=(*enough.missing, *stays.missing),
        )
    return decide(
        enough | small,
        yes=plain.message,
        no=plain.message,
        unknown="whether the working space is high enough, or the relief for existing dwelling units holds, cannot be "
        "told from what is stated",
        found=plain.found,
        required=plain.required,
        notes=Notes(remedy=_REMEDY),
    )
