"""The enclosure type against what the place brings."""

from __future__ import annotations

from changeout.domain.facts import Claim, Fact, any_claim, fixed, merged
from changeout.domain.findings import Advice, Answer, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, amount, decide, figure, reaches, spread, words
from changeout.rules._registry import Limits, rule
from changeout.tables.enclosures import enclosure_types, is_for_indoors, is_for_outdoors, keeps_out, protection_words

KEPT_OUT = {"damp": ("dripping", "rain"), "wet": ("rain", "hosedown")}
"""What a type must keep out for a condition, any one of them. Source: the classes of Table 110.28; the matching of
damp and wet to them from memory."""


@rule(
    "enclosure-type-suits-location",
    group="environment",
    about="/enclosure/type",
    stage=Stage.INTAKE,
    needs=(
        "/location/conditions",
        "/location/room",
        "/enclosure/type",
        "/enclosure/mounting",
        "/enclosure/air_space",
        "/enclosure/material",
    ),
    applies_to="every proposal",
    parameters={"min_air_space_in": "number"},
)
def enclosure_type(case: Case, limits: Limits) -> Answer:
    """The enclosure type keeps out the water that its place brings.

    Because: water in a panelboard bridges live parts and rusts what should carry fault current.
    Passes: when the type is in the table's list for every condition declared; outdoors, for outdoor use; and the air
        space behind a box on the surface, where it is stated and the place is damp or wet, is the edition's least or
        more, or the box is nonmetallic.
    Fails: when a declared condition is one that the type gives no protection against, or an indoor type is outdoors; or
        when a metal box on the surface of a damp or wet place has less air behind it.
    Cannot tell: when conditions or type are not stated and not every one of them would do.
    Not covered: corrosion, which has its own rule; dust and hosing down, which cannot be stated; drainage, and an air
        space that is not stated, which are said as a caution.
    """
    kind, room = case.enclosure.type, case.location.room
    if _dry_outdoors(case) and (kind.value is None or not is_for_outdoors(kind.value)):
        return advise(
            "the place is declared dry although it is outdoors, and the table lists "
            f"{f'Type {kind.value}' if kind.value is not None else 'some types'} for indoor use only",
            kind,
            case.location.conditions,
            room,
            notes=Notes(advice=Advice.READING),
            missing=kind.missing,
        )
    suits, airy = _every_candidate_suits(case), _air_behind(case, limits)
    if not suits.fails and (airy.fails or (airy.unknown and suits.holds)):
        return _too_close(case, airy, limits)
    place = _place(case)
    shown = f"Type {kind.value}" if kind.value is not None else "any type"
    protection = f" ({protection_words(kind.value)})" if kind.value is not None else ""
    return decide(
        suits & airy,
        yes=f"an enclosure of {shown} suits {place}",
        no=f"an enclosure of {shown}{protection} does not suit {place}",
        unknown="whether the enclosure keeps out what the place brings cannot be told without type and conditions",
        found=words("enclosure type", kind.value) if kind.value else None,
        required=words("conditions", place),
        notes=Notes(
            cautions=_cautions(case, limits.number("min_air_space_in")),
            rests_on=_mounted(case),
            remedy="use an enclosure of a type that the table lists for this place",
        ),
    )


def _mounted(case: Case) -> tuple[Fact, ...]:
    return tuple(fact for fact in (case.enclosure.mounting, case.enclosure.air_space_in) if fact.stated)


def _air_behind(case: Case, limits: Limits) -> Claim:
    """Return the claim that there is air enough behind the box; a space that nobody states is said as a caution.

    Source: 312.2, electricians' forum, forums.mikeholt.com, thread 2589000, printing 2023; its exception from memory.
    """
    space = case.enclosure.air_space_in
    if not space.stated:
        return Claim(Truth.YES)
    moist = _brings(case, "damp") | _brings(case, "wet")
    close = ~reaches(space, limits.number("min_air_space_in"))
    return ~(moist & close & ~case.enclosure.material.among("nonmetallic"))


def _too_close(case: Case, airy: Claim, limits: Limits) -> Answer:
    space, least_in = case.enclosure.air_space_in, limits.number("min_air_space_in")
    asked = (
        f"{spread(space, 'in')} off the wall in {_place(case)}, where at least {amount(least_in, 'in')} is asked for"
    )
    return decide(
        airy,
        yes="",
        no=f"the metal enclosure is {asked}",
        unknown=f"the enclosure is {asked} in a damp or wet place unless the box is nonmetallic: not all of that is "
        "stated",
        found=figure("air space behind the enclosure", space, "in"),
        required=figure("least air space", fixed(least_in), "in", ">="),
        notes=Notes(remedy=f"mount the enclosure {amount(least_in, 'in')} or more off the wall"),
    )


def _every_candidate_suits(case: Case) -> Claim:
    kind, conditions = case.enclosure.type, case.location.conditions
    candidates = (kind.value,) if kind.value is not None else enclosure_types()
    good = [_suits(case, candidate) for candidate in candidates]
    truths = {claim.truth for claim in good}
    inputs = (kind.at, conditions.at, case.location.room.at)
    if len(truths) == 1 and Truth.UNKNOWN not in truths:
        return Claim(truths.pop(), inputs)
    return Claim(Truth.UNKNOWN, inputs, merged(kind.missing, *(claim.missing for claim in good)))


def _conditions_known(case: Case) -> bool:
    return bool(case.location.conditions.values)


def _suits(case: Case, candidate: str) -> Claim:
    """Return the claim that one enclosure type suits the place."""
    kept = keeps_out(candidate)
    troubles = [_brings(case, c) for c, wanted in KEPT_OUT.items() if not any(w in kept for w in wanted)]
    if not is_for_outdoors(candidate):
        troubles.append(_is_exposed(case))
    return ~any_claim(troubles)


def _brings(case: Case, condition: str) -> Claim:
    if _conditions_known(case):
        return case.location.conditions.includes(condition)
    return Claim(Truth.UNKNOWN, (case.location.conditions.at,), (case.location.conditions.at,))


def _is_exposed(case: Case) -> Claim:
    """Return the claim that the place is outdoors; one declared dry, its room not stated, is taken to be indoors."""
    outdoors = case.location.room.among("outdoors")
    return outdoors if outdoors.holds else outdoors & (_brings(case, "damp") | _brings(case, "wet"))


def _dry_outdoors(case: Case) -> bool:
    moist = set(case.location.conditions.values or ()) & set(KEPT_OUT)
    return case.location.room.value == "outdoors" and _conditions_known(case) and not moist


def _place(case: Case) -> str:
    values = case.location.conditions.values
    said = f"a place declared {' and '.join(values)}" if values else "a place whose conditions are not stated"
    return f"{said}, outdoors" if case.location.room.value == "outdoors" else said


def _cautions(case: Case, min_air_space_in: float) -> tuple[str, ...]:
    kind, conditions = case.enclosure.type.value, case.location.conditions.values or ()
    found = []
    if {"damp", "wet"} & set(conditions):
        space, box = case.enclosure.air_space_in, case.enclosure
        if space.stated and not reaches(space, min_air_space_in).holds:
            found.append("A nonmetallic box may be close to a wall only of concrete, masonry, tile or the like.")
        off_the_wall = f" and that the box is at least {amount(min_air_space_in, 'in')} off the wall"
        found.append(
            f"See that water drains away{'' if space.stated or box.mounting.value == 'flush' else off_the_wall}."
        )
    indoors = case.location.room.value not in {None, "outdoors"}
    if kind is not None and indoors and not is_for_indoors(kind):
        found.append(f"The table lists Type {kind} for outdoor use; indoors it does what it does there.")
    return tuple(found)
