"""Neutral and enclosure: kept apart in a feeder panelboard, joined in a service panelboard."""

from __future__ import annotations

from changeout.domain.facts import Claim, merged
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, words
from changeout.rules._grounding_conductors import is_there
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import own_source

_APART = "take the bonding screw or strap out of the feeder panelboard and land neutrals and grounding wires apart"
_JOINED = "join neutral and enclosure at the service disconnect by the main bonding jumper"


@rule(
    "neutral-isolated-at-feeder-panelboard",
    group="grounding-and-bonding",
    about="/grounding/neutral_isolated",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/role",
        "/grounding/neutral_isolated",
        "/grounding/main_bonding_jumper/kind",
        "/grounding/main_bonding_jumper/size",
        "/grounding/equipment_grounding_conductor/kind",
        "/grounding/equipment_grounding_conductor/size",
        "/supply/separate_building",
        "/supply/separately_derived",
        "/supply/overcurrent_device",
        "/service/emergency_disconnect",
        "/service/emergency_disconnect_is",
        "/location/room",
    ),
    applies_to="every proposal",
)
def neutral_isolation(case: Case, _limits: Limits) -> Answer:
    """Neutral and enclosure are kept apart in a feeder panelboard and joined in a service panelboard.

    Because: a former service panelboard that a feeder now supplies keeps its bonding screw unless somebody takes it
        out, and then the current of the neutral runs over metal that people touch.
    Passes: when a feeder supplies the panelboard and its neutral is isolated; or when it is service equipment and its
        neutral is not.
    Fails: when the neutral of a feeder panelboard is not isolated, by declaration or by a main bonding jumper in it, or
        that of a service panelboard is.
    Cannot tell: when the role, or whether the neutral is isolated, is not stated. Advice is given on a feeder
        panelboard that is declared both isolated and to have a main bonding jumper; on one with a bonded neutral behind
        a transformer, or in a separate building that is fed without an equipment grounding conductor; and on a service
        panelboard whose service disconnect is declared to be another one outdoors.
    Not covered: bonding at several service disconnects.
    """
    role = case.panelboard.role
    if role.value == "feeder":
        return _feeder(case)
    if role.value == "service":
        return _service(case)
    isolated = case.grounding.neutral_isolated
    return Answer(
        judgement=Judgement.UNKNOWN,
        message="Not stated: whether the panelboard is service equipment or fed by a feeder, and so whether its "
        "neutral is to be joined to the enclosure or kept apart from it.",
        inputs=merged(role.inputs, isolated.inputs),
        missing=merged(role.missing, isolated.missing),
    )


def _feeder(case: Case) -> Answer:
    isolated, jumper = case.grounding.neutral_isolated, case.grounding.main_bonding_jumper
    joined = is_there(jumper)
    relief = _may_be_bonded(case)
    bonded = isolated.claim.fails or (joined.holds and not isolated.stated)
    if bonded and relief.holds:
        return _relieved(case)
    if isolated.claim.holds and joined.holds:
        return advise(
            "the neutral of the feeder panelboard is declared isolated and yet a main bonding jumper is stated, which "
            "would join it to the enclosure",
            isolated,
            joined,
            notes=Notes(remedy=_APART, advice=Advice.READING),
        )
    claim = isolated.claim
    if joined.holds:
        claim = Claim(Truth.NO, merged(claim.inputs, joined.inputs))
    if claim.fails and relief.unknown:
        claim = Claim(Truth.UNKNOWN, merged(claim.inputs, relief.inputs), relief.missing)
    return decide(
        claim,
        yes="the neutral of the feeder panelboard is isolated from its enclosure",
        no="the neutral of the feeder panelboard is not isolated from its enclosure",
        unknown="not stated: whether the neutral of the feeder panelboard is isolated from its enclosure",
        found=words("neutral", "isolated" if isolated.claim.holds else "bonded") if isolated.stated else None,
        required=words("neutral", "isolated", "="),
        notes=Notes(rests_on=(case.panelboard.role,), remedy=_APART),
    )


def _may_be_bonded(case: Case) -> Claim:
    """Return the claim that an exception can allow a feeder panelboard with a bonded neutral."""
    return own_source(case.supply) | _old_three_wire(case)


def _old_three_wire(case: Case) -> Claim:
    return case.supply.separate_building.claim & ~is_there(case.grounding.equipment_grounding_conductor)


def _relieved(case: Case) -> Answer:
    isolated, grounding = case.grounding.neutral_isolated, case.grounding.equipment_grounding_conductor.kind
    if _old_three_wire(case).holds:
        text = (
            "the neutral is bonded in the feeder panelboard of a separate building that is fed without an equipment "
            "grounding conductor; that may stay only for an existing feeder, with no other metal path between the "
            "buildings"
        )
        remedy = "show that the feeder is an existing one and no metal path runs beside it, or run a four-wire feeder"
    else:
        text = (
            "the neutral is bonded in a panelboard behind a transformer; the bonding jumper of that system may sit "
            "here or at the transformer, and not at both"
        )
        remedy = "show that the neutral is not bonded at the transformer too"
    return advise(
        text,
        isolated,
        case.supply.separate_building,
        grounding,
        notes=Notes(remedy=remedy, advice=Advice.READING),
    )


def _service(case: Case) -> Answer:
    isolated = case.grounding.neutral_isolated
    joined = ~isolated.claim
    if joined.holds and _disconnect_elsewhere(case):
        return advise(
            "the service disconnect is declared to be another one outdoors: this is then a feeder panelboard, whose "
            "neutral is kept apart from the enclosure",
            joined,
            case.service.emergency_disconnect_is,
            case.location.room,
            notes=Notes(remedy=f"state the role feeder and {_APART}", advice=Advice.READING),
        )
    return decide(
        joined,
        yes="neutral and enclosure are joined in the service panelboard",
        no="the neutral of the service panelboard is isolated from its enclosure",
        unknown="not stated: whether neutral and enclosure are joined in the service panelboard",
        found=words("neutral", "isolated" if isolated.claim.holds else "bonded") if isolated.stated else None,
        required=words("neutral", "bonded", "="),
        notes=Notes(rests_on=(case.panelboard.role,), remedy=_JOINED, cautions=_something_ahead(case)),
    )


def _disconnect_elsewhere(case: Case) -> bool:
    room = case.location.room
    is_service = case.service.emergency_disconnect_is.among("service-disconnect").holds
    outdoors = case.service.emergency_disconnect.among("outdoor-marked", "outdoor-unmarked").holds
    return is_service and outdoors and room.stated and room.value != "outdoors"


def _something_ahead(case: Case) -> tuple[str, ...]:
    outdoors = case.service.emergency_disconnect.among("outdoor-marked", "outdoor-unmarked").holds
    between = any(run.device_after is not None for run in case.supply.runs)
    if case.supply.overcurrent_device is None and not between and not outdoors:
        return ()
    return (
        "A device or a disconnect ahead is declared: where it is the service disconnect, this is a feeder panelboard, "
        "and neutral, grounding and conductors follow other rules.",
    )
