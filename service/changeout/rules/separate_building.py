"""Grounding of a panelboard in a separate building."""

from __future__ import annotations

from changeout.domain.facts import certain
from changeout.domain.findings import Advice, Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable, under, words
from changeout.rules._grounding_conductors import is_there
from changeout.rules._registry import Limits, rule

_REMEDY = "run an equipment grounding conductor with the feeder, and connect a grounding electrode system there"


@rule(
    "separate-building-grounding",
    group="grounding-and-bonding",
    about="/supply/separate_building",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/role",
        "/supply/separate_building",
        "/supply/building",
        "/grounding/equipment_grounding_conductor/kind",
        "/grounding/equipment_grounding_conductor/size",
        "/grounding/neutral_isolated",
        "/grounding/electrodes",
    ),
    applies_to="feeder panelboards in a separate building",
)
def separate_building(case: Case, _limits: Limits) -> Answer:
    """A panelboard in a separate building has an equipment grounding conductor with its feeder and electrodes there.

    Because: without the conductor a fault there does not trip the device ahead, and without electrodes lightning and
        neutral currents find their earth over other things.
    Passes: when a wire or raceway serves as the equipment grounding conductor and at least one electrode is connected.
    Fails: when there is no equipment grounding conductor and the neutral does not serve instead; or no electrode.
    Cannot tell: when either is not stated. A bonded neutral instead of the conductor, which old feeders may keep, gets
        advice.
    Not covered: the sizes, and whether the electrodes are enough: rules of their own answer for the conductor and the
        electrodes; a building with a single branch circuit needs no electrode.
    """
    apart, role = case.supply.separate_building.claim, case.panelboard.role.among("feeder")
    if role.fails:
        return not_applicable("the panelboard is service equipment", role)
    if apart.fails:
        return not_applicable("the panelboard is in the building of its supply", apart)
    return under(apart & role, _grounded(case), otherwise="the panelboard is in the building of its supply")


def _grounded(case: Case) -> Answer:
    conductor, electrodes = case.grounding.equipment_grounding_conductor, case.grounding.electrodes
    there = is_there(conductor)
    earthed = certain(bool(electrodes.values), electrodes) if electrodes.stated else electrodes.includes()
    if there.fails and case.grounding.neutral_isolated.claim.fails and not earthed.fails:
        return advise(
            "no equipment grounding conductor runs with the feeder to the separate building, and the neutral is bonded "
            "there instead; that may stay only for an existing feeder, with no other metal path between the buildings",
            there,
            case.grounding.neutral_isolated,
            electrodes,
            notes=Notes(remedy=_REMEDY, advice=Advice.READING),
        )
    kind = case.supply.building.value
    place = f"the separate building ({kind.replace('-', ' ')})" if kind else "the separate building"
    return decide(
        there & earthed,
        yes=f"the feeder to {place} has an equipment grounding conductor, and electrodes are connected there",
        no=f"no equipment grounding conductor runs with the feeder to {place}"
        if there.fails
        else f"no grounding electrode is connected at {place}",
        unknown=f"not stated: whether an equipment grounding conductor runs with the feeder to {place}, and which "
        "electrodes are connected there",
        found=words("equipment grounding conductor", conductor.kind.value or "wire") if there.holds else None,
        notes=Notes(remedy=_REMEDY, rests_on=(case.supply.building,) if kind else ()),
    )
