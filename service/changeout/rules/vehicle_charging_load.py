"""Vehicle charging in the load."""

from __future__ import annotations

from dataclasses import replace

from changeout.domain.facts import Claim, any_claim
from changeout.domain.findings import Answer, Basis, Stage
from changeout.domain.truth import Truth
from changeout.electrical.loads.calculate import DWELLING_METHODS
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, advise, at_least, decide, figure, not_applicable, spread
from changeout.rules._registry import Limits, rule


@rule(
    "ev-supply-equipment-load",
    group="load",
    about="/load/ev_counted",
    stage=Stage.INTAKE,
    needs=(
        "/load/method",
        "/load/appliances",
        "/load/appliances/*/kind",
        "/load/appliances/*/rating",
        "/load/ev_counted",
        "/supply/system",
        "/panelboard/circuits/*/use",
        "calculation:load",
    ),
    applies_to="a load with equipment that charges vehicles",
    parameters={"min_va": "number"},
)
def vehicle_charging_load(case: Case, _limits: Limits) -> Answer:
    """Equipment that charges vehicles is counted at its nameplate, and at no less than the edition's least value.

    Because: a charger draws its full load for hours, while everybody is at home.
    Passes: when what was counted is at least that for every charger; a load that is calculated here counts it so
        unless the applicant states another value.
    Fails: when less was counted.
    Cannot tell: when the appliances, or a rating, is not stated and decides. Of a stated load nobody can say what it
        counts for its chargers: that is said as advice.
    Not covered: measured demand, in which chargers that were there are measured already.
    """
    load = case.load
    if load.method.value == "measured-demand":
        return not_applicable("a measured demand holds the charging that was there", load.method)
    if not load.appliances.stated:
        return _not_listed(case)
    chargers = any_claim(appliance.kind.among("ev") for appliance in load.appliances)
    counted = (load.ev_counted_va.value or 0.0) > 0.0
    if chargers.fails and not counted:
        circuit = _charging_circuit(case)
        if not circuit.holds:
            return not_applicable("the load has no equipment that charges vehicles", load.appliances)
        return advise(
            "a circuit for charging vehicles is listed, and the load counts no equipment that charges them",
            circuit,
            load.appliances,
            notes=Notes(remedy="list the equipment among the appliances of the load"),
        )
    if load.method.value == "stated":
        return _in_stated_load(case, chargers)
    return _judged(case, chargers)


def _in_stated_load(case: Case, chargers: Claim) -> Answer:
    """Answer for a stated load, of which nobody can say what it counts for its chargers."""
    return advise(
        "the load is stated: see that it counts the charging of vehicles with no less than "
        f"{spread(case.load_result.ev_required_va, 'VA')}",
        chargers,
        case.load.method,
        notes=Notes(remedy="submit the calculation of the stated load"),
    )


def _judged(case: Case, chargers: Claim) -> Answer:
    result, load = case.load_result, case.load
    required, counted = result.ev_required_va, result.ev_counted_va
    if load.method.value in DWELLING_METHODS and not load.ev_counted_va.stated:
        answer = decide(
            chargers,
            yes=f"the load is calculated with the charging of vehicles ({spread(required, 'VA')})",
            no="",
            unknown="whether an appliance of no stated kind charges vehicles cannot be told",
            found=figure("vehicle charging counted", counted, "VA"),
            required=figure("vehicle charging that must count", required, "VA", ">="),
            notes=Notes(rests_on=(load.method, load.appliances), basis=Basis.COMPUTED),
        )
        return replace(answer, calculation="load")
    return at_least(
        Quantity(name="vehicle charging counted", number=counted),
        Quantity(name="vehicle charging that must count", number=required),
        "VA",
        Notes(remedy="count each charger at its nameplate, and at no less than the edition's least value"),
    )


def _not_listed(case: Case) -> Answer:
    """Answer where nobody listed the appliances: of a stated load the circuits tell whether anything charges vehicles.

    That load is the applicant's, so that more than advice can never come of it.
    """
    circuit, appliances = _charging_circuit(case), case.load.appliances
    if case.load.method.value == "stated" and not circuit.unknown:
        if circuit.fails:
            return not_applicable("no circuit is for charging vehicles", circuit)
        return _in_stated_load(case, circuit)
    return decide(
        Claim(Truth.UNKNOWN, circuit.inputs, circuit.missing or appliances.missing),
        yes="",
        no="",
        unknown="a circuit is for charging vehicles, and the appliances of the load are not stated"
        if circuit.holds
        else "whether the load has equipment that charges vehicles cannot be told from what is stated",
    )


def _charging_circuit(case: Case) -> Claim:
    """Return the claim that a circuit is said to be for charging vehicles; a circuit of no stated use is not."""
    circuits = case.panelboard.circuits
    said = any_claim(c.use.among("ev") if c.use.stated else Claim(Truth.NO, c.use.inputs) for c in circuits)
    return said if circuits.stated else Claim(Truth.UNKNOWN, circuits.inputs, circuits.missing)
