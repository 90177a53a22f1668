"""Ground-fault protection of a dwelling's outdoor outlets."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, Measurement, any_claim, certain, fixed
from changeout.domain.findings import Answer, Figure, Judgement, Stage
from changeout.domain.interval import Interval
from changeout.domain.occupancy import service_supplies
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.electrical.systems import SYSTEMS, voltage_to_ground
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, exceeds, figure, not_applicable, spread, under, words
from changeout.rules._registry import Limits, rule

_PROTECTION = "ground-fault protection at the breaker"
_NOT_OUTDOORS = "the outlets are not outdoors"
_OUTDOORS = ("outdoors",)
_MAY_BE_OUTDOORS = ("hvac", "pool", "ev", "other", "lighting", "sump")
"""Uses whose outlets can be outdoors or not (common practice, no source)."""


@rule(
    "ground-fault-protection-outdoor-outlets",
    group="circuits",
    about="/panelboard/circuits",
    stage=Stage.INSPECTION,
    needs=(
        "/project/occupancy",
        "/project/serves",
        "/project/applied_on",
        "/supply/system",
        "/supply/system_grounding",
        "/panelboard/circuits/*/number",
        "/panelboard/circuits/*/use",
        "/panelboard/circuits/*/outlet",
        "/panelboard/circuits/*/breaker/rating",
        "/panelboard/circuits/*/breaker/gfci",
        "/panelboard/circuits/*/poles",
        "/panelboard/circuits/*/existing",
        "/panelboard/circuits/*/outlets_added",
        "/panelboard/circuits/*/equipment_replaced",
    ),
    applies_to="outdoor outlets of dwellings",
    parameters={
        "max_a": "number",
        "max_v": "number",
        "on_equipment_replacement": "flag",
        "occupancies": "words",
        "hvac_exception_until": "day?",
    },
)
def outdoor_ground_fault_protection(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """New or changed outdoor outlets of a dwelling within the edition's rating have ground-fault protection.

    Because: who stands on wet ground is the path to earth for a fault in outdoor equipment.
    Passes: when the breaker protects people; or the circuit is above the edition's rating or voltage to ground, is of
        three poles, supplies lighting outlets alone, or falls under an exception on the date of application; or it is
        an existing circuit that the work leaves as it is.
    Fails: when the circuit is new, has outlets added or, where the edition says so, its equipment replaced, and its
        breaker does not protect people.
    Cannot tell: when whether the circuit is new or changed, or where its outlets are, is not stated and decides.
    Not covered: protection by a receptacle or a device besides the breaker, which must be shown; whether equipment
        under an exception is listed.
    """
    circuits = case.panelboard.circuits
    dwelling = service_supplies(case.project, limits.words("occupancies"))
    if dwelling.fails:
        return not_applicable("this is asked of dwellings, and not of common areas", dwelling)
    if not circuits.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the circuits, and which of them supply outdoor outlets.",
            missing=circuits.missing,
        )
    if not circuits.items:
        return not_applicable("the panelboard has no circuits", circuits)
    high = exceeds(_to_ground(case), limits.number("max_v"))
    return [_circuit(case, circuit, limits, high, dwelling & _outdoors(circuit)) for circuit in circuits]


def _circuit(case: Case, circuit: Circuit, limits: Limits, high: Claim, outdoors: Claim) -> Answer:
    if outdoors.fails:
        return not_applicable(_NOT_OUTDOORS, outdoors, subject=circuit.at)
    beyond, exempt = _beyond(circuit, limits, high), _exempt(case, circuit, limits)
    changed = _changed(circuit, limits)
    rating, most = circuit.breaker.rating_a, limits.number("max_a")
    over = exceeds(rating, most)
    claim = any_claim((circuit.breaker.gfci.claim, beyond, exempt, ~changed))
    answer = decide(
        claim,
        yes=_yes(circuit, beyond, exempt) if claim.holds else "",
        no=f"{_which(circuit)}, a {_how(circuit)} outdoor circuit ({spread(rating, 'A')}), has no ground-fault "
        "protection at its breaker",
        unknown=f"not stated: whether {_which(circuit)} is new or changed and supplies an outdoor outlet that needs "
        "ground-fault protection, which nothing shows",
        found=figure("rating of the breaker", rating, "A") if over.holds else _protection(circuit),
        required=figure("rating up to which protection is asked for", fixed(most), "A", ">")
        if over.holds
        else words(_PROTECTION, "present", "="),
        notes=Notes(
            subject=circuit.at,
            remedy="use a breaker with ground-fault protection for people, or show the protection at the outlet",
            cautions=("The exception is for listed equipment only.",) if exempt.holds else (),
        ),
    )
    return under(outdoors, answer, otherwise=_NOT_OUTDOORS)


def _which(circuit: Circuit) -> str:
    return f"circuit {circuit.number.value:g}" if circuit.number.value is not None else "the circuit"


def _protection(circuit: Circuit) -> Figure | None:
    given = circuit.breaker.gfci
    return words(_PROTECTION, "present" if given.claim.holds else "none") if given.stated else None


def _outdoors(circuit: Circuit) -> Claim:
    use = circuit.use
    if use.value in _MAY_BE_OUTDOORS:
        return Claim(Truth.UNKNOWN, use.inputs, use.inputs)
    return use.among(*_OUTDOORS)


def _beyond(circuit: Circuit, limits: Limits, high: Claim) -> Claim:
    """Return the claim that the circuit is outside what the rule speaks of: rating, voltage, poles, lighting.

    *high* is the claim that the voltage is.
    """
    over = exceeds(circuit.breaker.rating_a, limits.number("max_a"))
    poles = circuit.poles
    several = (
        Claim(Truth.UNKNOWN, poles.inputs, poles.missing) if poles.value is None else certain(poles.value > 2, poles)
    )
    return any_claim((over, high, several, circuit.outlet.among("lighting")))


def _to_ground(case: Case) -> Measurement:
    """Return the voltage to ground of the circuit in whole volts; of a system with a high leg, of either leg."""
    volts = voltage_to_ground(case.supply)
    name = case.supply.system.value
    low = volts.low
    if name is not None and SYSTEMS[name].high_leg_v is not None:
        low = min(low, SYSTEMS[name].line_to_neutral_v or low)
    missing = volts.missing or (case.supply.system.inputs if low != volts.low else ())
    return Measurement(Interval(round(low), round(volts.high)), volts.inputs, missing)


def _exempt(case: Case, circuit: Circuit, limits: Limits) -> Claim:
    """Return the claim that heating or cooling equipment is excepted on the date of application."""
    until, applied = limits.day("hvac_exception_until"), case.project.applied_on
    hvac = circuit.use.among("hvac")
    if until is None:
        return Claim(Truth.NO, hvac.inputs)
    if applied.value is None:
        return hvac & Claim(Truth.UNKNOWN, applied.inputs, applied.missing)
    return hvac & certain(applied.value < until, applied)


def _changed(circuit: Circuit, limits: Limits) -> Claim:
    changed = ~circuit.existing.claim | circuit.outlets_added.claim
    if limits.flag("on_equipment_replacement"):
        changed |= circuit.equipment_replaced.claim
    return changed


def _how(circuit: Circuit) -> str:
    return "new" if circuit.existing.claim.fails else "changed"


def _yes(circuit: Circuit, beyond: Claim, exempt: Claim) -> str:
    if circuit.breaker.gfci.claim.holds:
        return "the breaker of the circuit protects people against ground faults"
    if exempt.holds:
        return "the equipment of the circuit is excepted on the date of application"
    if beyond.holds:
        return "the circuit is outside the rating, voltage or kind of outlet that protection is asked for"
    return "the circuit is an existing one that the work leaves as it is"
