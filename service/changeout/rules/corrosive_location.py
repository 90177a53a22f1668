"""The enclosure in a corrosive place."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under, words
from changeout.rules._registry import Limits, rule
from changeout.tables.enclosures import is_for_indoors


@rule(
    "corrosive-location-enclosure",
    group="environment",
    about="/enclosure",
    stage=Stage.INTAKE,
    needs=(
        "/location/conditions",
        "/location/room",
        "/enclosure/type",
        "/enclosure/material",
        "/enclosure/identified_for_environment",
    ),
    applies_to="a place that is declared corrosive, or whose conditions are not stated",
    parameters={"corrosion_types": "words"},
)
def corrosive_location(case: Case, limits: Limits) -> Answer:
    """In a corrosive place the enclosure is of a corrosion-resistant type or identified for that environment.

    Because: a steel box beside pool chemicals rusts in months, and a rusted box neither bonds nor holds back an arc.
    Passes: when its type is one of the corrosion-resistant ones, or it is declared identified for the environment.
    Fails: when the place is declared corrosive, the type has no protection against corrosion, and the enclosure is
        declared not identified for the environment.
    Cannot tell: when conditions, type or identification are not stated; in a pool equipment room, ask whether
        chemicals are stored there.
    """
    enclosure, room = case.enclosure, case.location.room
    kind, material = enclosure.type, enclosure.material
    pool = room.value == "pool-equipment-room"
    ask = "; ask whether pool chemicals are stored in this room" if pool else ""
    resistant = kind.among(*limits.words("corrosion_types"))
    answer = decide(
        resistant | enclosure.identified_for_environment.claim,
        yes=f"an enclosure of Type {kind.value} resists corrosion"
        if resistant.holds
        else "the enclosure is declared identified for this environment",
        no=f"an enclosure of Type {kind.value}{_made_of(material.value)} has no protection against corrosion and is "
        "declared not identified for this environment",
        unknown=f"whether the enclosure is fit for a corrosive place is not shown by its type and material{ask}",
        found=words("enclosure type", kind.value) if kind.value else None,
        required=words("enclosure types", " or ".join(limits.words("corrosion_types"))),
        notes=Notes(
            rests_on=(room, material),
            cautions=(
                *_cautions(material.value, pool=pool and not case.location.conditions.stated),
                *_outdoor_type(case, resistant),
            ),
            remedy="use an enclosure of a corrosion-resistant type, or submit what identifies this one for the place",
        ),
    )
    return under(
        case.location.conditions.includes("corrosive"),
        answer,
        otherwise=f"corrosive conditions are not among those declared{ask}",
    )


def _outdoor_type(case: Case, resistant: Claim) -> tuple[str, ...]:
    kind, room = case.enclosure.type.value, case.location.room.value
    if not resistant.holds or kind is None or room in {None, "outdoors"} or is_for_indoors(kind):
        return ()
    return (f"The table lists Type {kind} for outdoor use: see that it also serves against what is in this room.",)


def _made_of(material: str | None) -> str:
    return f" made of {material.replace('-', ' ')}" if material else ""


def _cautions(material: str | None, *, pool: bool) -> tuple[str, ...]:
    found = []
    if pool:
        found.append("Pool chemicals stored in this room make it corrosive: ask whether they are.")
    if material == "nonmetallic":
        found.append(
            "A nonmetallic box bonds nothing: the equipment grounding conductors need their own path through it."
        )
    return tuple(found)
