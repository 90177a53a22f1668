"""The equipment grounding conductor of a feeder."""

from __future__ import annotations

from dataclasses import replace

from changeout.domain.facts import Claim, Measurement, merged
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.truth import Truth
from changeout.electrical.grounding import (
    Upsizing,
    bonding_jumper,
    conductor_area,
    equipment_grounding,
    supply_conductors,
)
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable, reaches, uncapitalised, under, words
from changeout.rules._grounding import large_enough
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import ahead

_WHAT = "equipment grounding conductor"
_REMEDY = (
    "run an equipment grounding conductor of at least the size required with the feeder, or show a metal raceway that "
    "qualifies as one"
)
_RACEWAY_CAUTION = (
    "A metal raceway counts where its kind and its fittings qualify and it is unbroken; flexible kinds count only "
    "within limits of length and rating: to be seen at inspection."
)


@rule(
    "equipment-grounding-conductor-size",
    group="grounding-and-bonding",
    about="/grounding/equipment_grounding_conductor",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/role",
        "/grounding/equipment_grounding_conductor/kind",
        "/grounding/equipment_grounding_conductor/size",
        "/grounding/equipment_grounding_conductor/material",
        "/supply/overcurrent_device/rating",
        "/supply/runs/*/device_after",
        "/supply/overcurrent_device/position",
        "/supply/separately_derived",
        "/supply/runs/*/raceway",
        "/supply/runs/*/size",
        "/supply/runs/*/sets",
        "/supply/runs/*/material",
        "/supply/conductors_upsized",
        "/supply/upsized_from",
    ),
    applies_to="feeder panelboards",
)
def equipment_grounding_size(case: Case, _limits: Limits) -> Answer:
    """A feeder has an equipment grounding conductor of at least the size for the device ahead of it.

    Because: the fault current runs back through it; too thin, it burns before the device ahead opens.
    Passes: when a wire is at or above the table's size for the device ahead, raised in proportion where the feeder's
        conductors were made larger; or a metal raceway is declared to serve.
    Fails: when a wire is smaller; or there is none, or only a raceway, and the raceway is nonmetallic.
    Cannot tell: when neither wire nor raceway is stated, or the device ahead, the raceway or the former size of larger
        conductors is not and decides. No wire in a metal raceway, and a wire that comes straight from a transformer
        (a supply-side bonding jumper) below the size of that, get advice.
    Not covered: whether a raceway of metal qualifies by kind, fittings and length, which is seen on site.
    """
    role = case.panelboard.role.among("feeder")
    if role.fails:
        return not_applicable(
            "the panelboard is service equipment: its supply has no equipment grounding conductor", role
        )
    return under(role, _conductor(case), otherwise="the panelboard is service equipment")


def _conductor(case: Case) -> Answer:
    conductor = case.grounding.equipment_grounding_conductor
    kind, size = conductor.kind, conductor.size
    if kind.value == "none":
        return _none(case)
    if kind.value == "raceway":
        return _raceway(case)
    if kind.stated or size.stated:
        return _wire(case)
    return Answer(
        judgement=Judgement.UNKNOWN,
        message="Not stated: whether a wire or the raceway is the equipment grounding conductor of the feeder, and the "
        "size of a wire.",
        inputs=merged(kind.inputs, size.inputs),
        missing=merged(kind.missing, size.missing),
    )


def _metal(case: Case) -> Claim:
    """Return the claim that the raceway of the feeder's last run is of metal."""
    runs = case.supply.runs
    if not runs.items:
        return Claim(Truth.UNKNOWN, runs.inputs, runs.inputs)
    return runs.items[-1].raceway.among("steel", "aluminum")


def _raceway(case: Case) -> Answer:
    conductor, metal = case.grounding.equipment_grounding_conductor, _metal(case)
    return decide(
        metal,
        yes="the metal raceway of the feeder is declared to serve as its equipment grounding conductor",
        no="the raceway is declared to serve as the equipment grounding conductor of the feeder and is nonmetallic",
        unknown="the raceway is declared to serve as the equipment grounding conductor of the feeder; not stated: of "
        "what it is",
        found=words(_WHAT, "raceway"),
        required=words(_WHAT, "a wire of the size required, or a raceway of metal", "="),
        notes=Notes(rests_on=(conductor.kind,), remedy=_REMEDY, cautions=(_RACEWAY_CAUTION,) if metal.holds else ()),
    )


def _none(case: Case) -> Answer:
    conductor, metal = case.grounding.equipment_grounding_conductor, _metal(case)
    notes = Notes(rests_on=(conductor.kind,), remedy=_REMEDY, cautions=(_RACEWAY_CAUTION,) if metal.holds else ())
    if metal.holds:
        return advise(
            "no wire runs with the feeder as its equipment grounding conductor; its metal raceway can be that where it "
            "qualifies, which nobody has declared",
            metal,
            notes=Notes(rests_on=notes.rests_on, remedy=_REMEDY, cautions=notes.cautions, advice=Advice.READING),
        )
    missing_wire = Claim(Truth.NO, metal.inputs) if metal.fails else metal
    return decide(
        missing_wire,
        yes="",
        no="no equipment grounding conductor runs with the feeder, and its raceway is nonmetallic",
        unknown="no wire runs with the feeder as its equipment grounding conductor; not stated: whether its raceway is "
        "of metal",
        found=words(_WHAT, "none"),
        required=words(_WHAT, "a wire of the size required, or a raceway of metal", "="),
        notes=notes,
    )


def _wire(case: Case) -> Answer:
    conductor, supply = case.grounding.equipment_grounding_conductor, case.supply
    run, before = supply_conductors(supply.runs), ahead(case)
    upsizing = Upsizing(done=supply.conductors_upsized, original=supply.upsized_from)
    required = equipment_grounding(run, before.rating, conductor.material, upsizing)
    in_parallel = "With parallel sets in several raceways each has a wire of the full size."
    instead = "A metal raceway that qualifies can serve instead: then declare the kind raceway."
    cautions = (in_parallel,) if run.sets.high > 1 else ()
    small = reaches(conductor_area(conductor.size), required).fails and _metal(case).holds
    answer = large_enough(
        _WHAT, conductor, required, Notes(remedy=_REMEDY, cautions=(*cautions, instead) if small else cautions)
    )
    if supply.separately_derived is None or before.there.holds:
        return answer
    return _behind_transformer(case, answer, bonding_jumper(run, conductor.material), before.there)


def _behind_transformer(case: Case, by_device: Answer, jumper: Measurement, device: Claim) -> Answer:
    """Answer for a wire that comes straight from a transformer, or may: *device* claims one between.

    Source: 250.30(A)(2), supply-side bonding jumper, from memory, unreviewed.
    """
    what, conductor = "supply-side bonding jumper", case.grounding.equipment_grounding_conductor
    straight = large_enough(what, conductor, jumper, Notes(remedy=_REMEDY))
    if device.fails and straight.judgement is Judgement.FAILS:
        return advise(
            f"no device stands between the transformer and the panelboard, so that the wire is a {what}; "
            + uncapitalised(straight),
            device,
            notes=Notes(remedy="run a wire of that size, or a metal raceway that qualifies", advice=Advice.READING),
        )
    if device.fails or {straight.judgement, by_device.judgement} == {Judgement.HOLDS}:
        return replace(straight, inputs=merged(device.inputs, by_device.inputs, straight.inputs))
    return replace(
        straight,
        judgement=Judgement.UNKNOWN,
        message="Whether the wire with the feeder is large enough depends on whether a device stands between the "
        "transformer and the panelboard, which is not stated.",
        inputs=merged(device.inputs, by_device.inputs, straight.inputs),
        missing=merged(device.missing, by_device.missing, straight.missing),
        remedies=(),
    )
