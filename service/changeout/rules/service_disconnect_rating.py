"""The least rating of a service disconnect."""

from __future__ import annotations

from changeout.domain.facts import Claim, Measurement, merged
from changeout.domain.findings import Answer, Basis, Stage
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, exceeds, figure, not_applicable, reaches, spread, under
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import Device, mains


@rule(
    "service-disconnect-minimum-rating",
    group="load",
    about="/panelboard/main/rating",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/role",
        "/project/occupancy",
        "/panelboard/main/kind",
        "/panelboard/main/rating",
        "/panelboard/second_main/kind",
        "/panelboard/second_main/rating",
        "/panelboard/circuits",
        "/panelboard/circuits/*/poles",
        "/service/disconnects",
        "calculation:load",
    ),
    applies_to="service equipment",
    parameters={
        "one_family_a": "number",
        "other_a": "number",
        "two_circuit_a": "number",
        "one_circuit_a": "number",
    },
)
def service_disconnect_rating(case: Case, limits: Limits) -> Answer:
    """The service disconnect is rated for the calculated load, and at least the edition's least value.

    Because: a service too small for what it serves is soon overloaded, and soon bypassed.
    Passes: when the main, or two mains together, are rated at or above the least value for what they serve, and at or
        above the calculated load.
    Fails: when the rating is below either.
    Cannot tell: when the rating, the circuits, the load or the number of disconnects is not stated and decides. Of
        several disconnects, whose ratings count together, a main that is too small alone gets advice.
    Not covered: the ratings of further disconnects of the same service.
    """
    main, least = mains(case), _least(case, limits)
    load = case.load_result.amps
    enough, carries = reaches(main.rating, least), reaches(main.rating, load)
    claim = main.there & enough & carries
    several = exceeds(case.service.disconnects, 1)
    if main.there.fails and several.fails:
        return not_applicable("the panelboard has no main: the rule on its protection answers", main.there, several)
    if several.holds and (main.there.fails or claim.fails):
        return _together(case, main, several, least)
    if claim.fails and several.unknown:
        claim = Claim(Truth.UNKNOWN, merged(claim.inputs, several.inputs), several.missing)
    by_load = carries.fails and not enough.fails
    required = load if by_load else least
    what = "calculated load" if by_load else "least rating for what it serves"
    rated = f"the service disconnect ({spread(main.rating, 'A')})"
    answer = decide(
        claim,
        yes=f"{rated} is rated no less than the {what} ({spread(required, 'A')})",
        no=f"{rated} is rated less than the {what} ({spread(required, 'A')})",
        unknown=f"whether the service disconnect is rated no less than the {what} ({spread(required, 'A')}), and the "
        "calculated load, cannot be told from what is stated",
        found=figure("rating of the service disconnect", main.rating, "A") if not main.there.fails else None,
        required=figure(what, required, "A", ">="),
        notes=Notes(remedy="use a service disconnect with a higher rating", basis=Basis.COMPUTED),
    )
    return under(
        case.panelboard.role.among("service"), answer, otherwise="a feeder supplies the panelboard, no service"
    )


def _together(case: Case, main: Device, several: Claim, least: Measurement) -> Answer:
    """Answer for disconnects that only count together, whose sum no proposal states.

    Source: 230.80, from memory.
    """
    alone = "the service has no main" if main.there.fails else f"the main is rated {spread(main.rating, 'A')}"
    answer = advise(
        f"{alone} and several disconnects, whose ratings count together: show that their sum is no less than "
        f"{spread(least, 'A')} and than the calculated load ({spread(case.load_result.amps, 'A')})",
        several,
        main.there,
        notes=Notes(remedy="submit the ratings of all disconnects of the service"),
    )
    return under(
        case.panelboard.role.among("service"), answer, otherwise="a feeder supplies the panelboard, no service"
    )


def _least(case: Case, limits: Limits) -> Measurement:
    """Return the least rating for what the service serves: a house, one or two circuits, or anything else."""
    house = case.project.occupancy.among("one-family-dwelling")
    if house.holds:
        return Measurement(Interval.exactly(limits.number("one_family_a")), house.inputs)
    circuits = case.panelboard.circuits
    one, two, other = (limits.number(n) for n in ("one_circuit_a", "two_circuit_a", "other_a"))
    if not circuits.stated:
        return Measurement(Interval(one, other), merged(house.inputs, circuits.inputs), circuits.missing)
    inputs = merged(house.inputs, circuits.inputs)
    if len(circuits) == 1:
        return Measurement(Interval.exactly(one), inputs)
    if len(circuits) != 2:
        return Measurement(Interval.exactly(other), inputs)
    return _of_two(case, two, other, inputs)


def _of_two(case: Case, two: float, other: float, inputs: tuple[str, ...]) -> Measurement:
    """Return the least rating for two circuits: the lower one only where both have one pole, so two wires."""
    poles = [circuit.poles for circuit in case.panelboard.circuits]
    if any(p.value is not None and p.value > 1 for p in poles):
        return Measurement(Interval.exactly(other), inputs)
    if all(p.stated for p in poles):
        return Measurement(Interval.exactly(two), inputs)
    return Measurement(Interval(two, other), inputs, merged(*(p.missing for p in poles)))
