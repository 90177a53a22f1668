"""Arc-fault protection of circuits that the work makes, lengthens or adds to."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, all_claims, any_claim, certain, fixed, merged
from changeout.domain.findings import Answer, Figure, Judgement, Stage
from changeout.domain.occupancy import service_supplies
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.electrical.systems import SYSTEMS
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, figure, not_applicable, spread, under, within
from changeout.rules._registry import Limits, rule

_METAL_METHODS = ("metal-raceway", "armored-cable")
_PARAMETERS = {
    "max_extension_in": "number",
    "inside_enclosure_counts": "flag",
    "first_switch_allowed": "flag",
    "occupancies": "words",
    "ratings_a": "numbers",
    "nominal_v": "number",
    "areas": "words",
    "other_areas": "words",
    "bathrooms_listed_in": "words",
}


@rule(
    "arc-fault-protection-on-extended-wiring",
    group="circuits",
    about="/panelboard/circuits",
    stage=Stage.INSPECTION,
    needs=(
        "/project/occupancy",
        "/project/serves",
        "/supply/system",
        "/panelboard/circuits/*/number",
        "/panelboard/circuits/*/use",
        "/panelboard/circuits/*/outlet",
        "/panelboard/circuits/*/poles",
        "/panelboard/circuits/*/multiwire_group",
        "/panelboard/circuits/*/neutral",
        "/panelboard/circuits/*/breaker/rating",
        "/panelboard/circuits/*/breaker/afci",
        "/panelboard/circuits/*/afci_at_first_outlet",
        "/panelboard/circuits/*/wiring_method",
        "/panelboard/circuits/*/existing",
        "/panelboard/circuits/*/outlets_added",
        "/panelboard/circuits/*/conductor/extended_by",
        "/panelboard/circuits/*/extension_inside_enclosure",
    ),
    applies_to="circuits of the occupancies that the edition names",
    parameters=_PARAMETERS,
)
def arc_fault_protection(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """Circuits that the work makes, lengthens beyond the edition's limit or adds outlets to have arc-fault protection.

    Because: changing the panelboard alone does not call for arc-fault breakers, moving it often does; old wiring that
        is pulled and spliced anew is where arcs start.
    Passes: when the circuit has an arc-fault breaker, or a device at its first outlet where the edition accepts that;
        or is lengthened by no more than the limit with no outlet added; or is no 120 V circuit of the ratings that
        are meant; or supplies no area that is listed.
    Fails: when it is new, lengthened by more, or has outlets added, and is unprotected.
    Cannot tell: when how far it is lengthened, whether outlets are added, or what it supplies is not stated while
        nothing shows protection.
    Not covered: conductors replaced within their length, and bedrooms of other occupancies than those named. A device
        at the first outlet that nobody states is taken as not there.
    """
    circuits = case.panelboard.circuits
    occupancy = service_supplies(case.project, limits.words("occupancies"))
    if occupancy.fails:
        return not_applicable("the edition does not name this occupancy, or only a common area is supplied", occupancy)
    if not circuits.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the circuits, and which of them the work lengthens.",
            missing=circuits.missing,
        )
    if not circuits.items:
        return not_applicable("the panelboard has no circuits", circuits)
    return [
        under(occupancy, _circuit(case, circuit, limits), otherwise="the edition does not name this occupancy")
        for circuit in circuits
    ]


def _circuit(case: Case, circuit: Circuit, limits: Limits) -> Answer:
    of_the_ratings, in_listed_area = _of_the_ratings(case, circuit, limits), _in_listed_area(case, circuit, limits)
    meant = of_the_ratings & in_listed_area
    protected = _protected(circuit, limits)
    claim = any_claim((protected, _small_change(circuit, limits), ~meant))
    where = "first receptacle or switch" if limits.flag("first_switch_allowed") else "first receptacle"
    by_length = not (protected.holds or meant.fails or _changed_otherwise(circuit))
    return decide(
        claim,
        yes=_yes(circuit, limits, protected, of_the_ratings, in_listed_area) if claim.holds else "",
        no=_no(circuit, limits) if claim.fails else "",
        unknown=f"not stated: how far {_which(circuit)} is lengthened, whether outlets are added, or what it supplies, "
        "while nothing shows arc-fault protection",
        found=_length(circuit) if by_length else None,
        required=figure("extension without arc-fault protection", fixed(limits.number("max_extension_in")), "in", "<=")
        if by_length
        else None,
        notes=Notes(
            subject=circuit.at,
            remedy=f"use an arc-fault breaker, or a listed arc-fault device at the {where}",
        ),
    )


def _which(circuit: Circuit) -> str:
    return f"circuit {circuit.number.value:g}" if circuit.number.value is not None else "the circuit"


def _changed_otherwise(circuit: Circuit) -> bool:
    """Whether something else than its length asks for protection: it is new, or outlets are added."""
    return circuit.existing.claim.fails or circuit.outlets_added.claim.holds


def _length(circuit: Circuit) -> Figure | None:
    extended = circuit.conductor.extended_by_in
    return figure("length by which the circuit is extended", extended, "in") if extended.stated else None


def _of_the_ratings(case: Case, circuit: Circuit, limits: Limits) -> Claim:
    """Return the claim that it is a circuit of 120 V and of one of the ratings meant."""
    rating, system = circuit.breaker.rating_a, case.supply.system
    to_neutral = _to_neutral(circuit)
    if system.value is None:
        low_voltage = Claim(Truth.UNKNOWN, system.inputs, system.missing)
    else:
        volts = SYSTEMS[system.value].line_to_neutral_v
        low_voltage = certain(volts is not None and round(volts) == limits.number("nominal_v"), system)
    if rating.value is None:
        of_rating = Claim(Truth.UNKNOWN, rating.inputs, rating.missing)
    else:
        of_rating = certain(rating.value in limits.numbers("ratings_a"), rating)
    return all_claims((to_neutral, low_voltage, of_rating))


def _to_neutral(circuit: Circuit) -> Claim:
    """Return the claim that outlets are fed from line to neutral: by one pole, or by several that share a neutral."""
    poles, group = circuit.poles, circuit.multiwire_group
    if poles.value is None:
        return Claim(Truth.UNKNOWN, poles.inputs, poles.missing)
    if poles.value == 1 or group.stated:
        return Claim(Truth.YES, poles.inputs)
    if circuit.neutral.value == "none":
        return Claim(Truth.NO, merged(poles.inputs, circuit.neutral.inputs))
    return Claim(Truth.UNKNOWN, poles.inputs, merged(group.missing, circuit.neutral.missing))


def _in_listed_area(case: Case, circuit: Circuit, limits: Limits) -> Claim:
    """Return the claim that it supplies an area that is listed; uses that can be in any area leave it open."""
    use, occupancy = circuit.use, case.project.occupancy
    bathrooms = use.among("bathroom") & occupancy.among(*limits.words("bathrooms_listed_in"))
    listed = use.among(*limits.words("areas")) | bathrooms
    if listed.holds or not use.stated:
        return listed
    if use.value in limits.words("other_areas"):
        return Claim(Truth.NO, merged(use.inputs, listed.inputs))
    return Claim(Truth.UNKNOWN, use.inputs, use.inputs)


def _small_change(circuit: Circuit, limits: Limits) -> Claim:
    short = within(circuit.conductor.extended_by_in, limits.number("max_extension_in"))
    if not limits.flag("inside_enclosure_counts"):
        short |= circuit.extension_inside_enclosure.claim
    return all_claims((short, ~circuit.outlets_added.claim, circuit.existing.claim))


def _protected(circuit: Circuit, limits: Limits) -> Claim:
    """Return the claim that the circuit has arc-fault protection in a way that the edition accepts.

    A device at the first outlet stands at a receptacle, or where the edition says so at a switch. For a new circuit
    the wiring up to it must be of metal. Source: 210.12(A) and its first exceptions, from memory, unreviewed.
    """
    first = circuit.afci_at_first_outlet.claim
    if not limits.flag("first_switch_allowed"):
        first &= ~circuit.outlet.among("lighting")
    first &= circuit.existing.claim | circuit.wiring_method.among(*_METAL_METHODS)
    if circuit.breaker.afci.claim.fails and not circuit.afci_at_first_outlet.stated:
        first = Claim(Truth.NO, first.inputs)
    return circuit.breaker.afci.claim | first


def _yes(circuit: Circuit, limits: Limits, protected: Claim, of_the_ratings: Claim, in_listed_area: Claim) -> str:
    if circuit.breaker.afci.claim.holds:
        return "the circuit has an arc-fault breaker"
    if protected.holds:
        return "the circuit has arc-fault protection at its first outlet"
    if of_the_ratings.fails:
        return "the circuit is none of the voltage and rating that arc-fault protection is asked for"
    if in_listed_area.fails:
        return "the circuit supplies no area that arc-fault protection is asked for"
    most = amount(limits.number("max_extension_in"), "in")
    if within(circuit.conductor.extended_by_in, limits.number("max_extension_in")).holds:
        return f"the circuit is extended by no more than {most}, and no outlet is added"
    return f"what the circuit is extended by lies inside the enclosure, which does not count against the {most}"


def _no(circuit: Circuit, limits: Limits) -> str:
    bare = "and it has no arc-fault protection"
    if circuit.afci_at_first_outlet.claim.holds:
        bare = "and its arc-fault device at the first outlet is not in a place that the edition accepts"
    which = _which(circuit)
    if circuit.existing.claim.fails:
        return f"{which} is new, {bare}"
    if circuit.outlets_added.claim.holds:
        return f"outlets are added to {which}, {bare}"
    length, most = spread(circuit.conductor.extended_by_in, "in"), amount(limits.number("max_extension_in"), "in")
    counted = (
        " (wire inside the enclosure included)"
        if limits.flag("inside_enclosure_counts") and circuit.extension_inside_enclosure.claim.holds
        else ""
    )
    return f"{which} is extended by {length}{counted}, which is more than {most}, {bare}"
