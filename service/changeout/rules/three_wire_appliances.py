"""Old three-wire circuits of ranges and dryers."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, certain
from changeout.domain.findings import Answer, Judgement, Stage
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, not_applicable, under, words
from changeout.rules._registry import Limits, rule

_DWELLINGS = ("one-family-dwelling", "two-family-dwelling", "multifamily-dwelling")
_APPLIANCES = ("range", "dryer")
_NOT_SUCH = "the circuit is not that of a range or dryer of two lines and neutral"
_REMEDY = "run a four-wire circuit with an insulated neutral and a grounding conductor to the appliance"


@rule(
    "existing-three-wire-range-or-dryer",
    group="grounding-and-bonding",
    about="/panelboard/circuits",
    stage=Stage.INSPECTION,
    needs=(
        "/project/occupancy",
        "/panelboard/role",
        "/work/becomes_feeder",
        "/panelboard/circuits/*/number",
        "/panelboard/circuits/*/use",
        "/panelboard/circuits/*/poles",
        "/panelboard/circuits/*/neutral",
        "/panelboard/circuits/*/existing",
        "/panelboard/circuits/*/neutral_covered_in_panelboard",
        "/panelboard/circuits/*/wiring_method",
    ),
    applies_to="range and dryer circuits of dwellings",
    parameters={"bare_se_from_feeder_allowed": "flag"},
)
def three_wire_appliances(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """A range or dryer circuit has four wires, or is an old three-wire one that may stay.

    Because: a bare neutral that leaves a feeder panelboard puts the current of the neutral on the box and on the
        appliance.
    Passes: when the neutral is insulated, or there is none; or when an existing circuit with the bare neutral of
        service cable comes from the service panelboard, or from a feeder panelboard where the edition allows that and
        the bare neutral is covered inside.
    Fails: when the bare neutral of such a circuit leaves a feeder panelboard and the edition's conditions are not met;
        or when the circuit is new and has no four wires.
    Cannot tell: when the wiring, or whether the circuit is existing, or the role of the panelboard, is not stated and
        decides; or another wiring method is stated than the service cable whose bare neutral it is.
    Not covered: the least size of an old neutral, and the bond in the appliance and its receptacle.
    """
    dwelling, circuits = case.project.occupancy.among(*_DWELLINGS), case.panelboard.circuits
    if dwelling.fails:
        return not_applicable("this is asked of dwellings", dwelling)
    if not circuits.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the circuits, and how ranges and dryers are wired.",
            missing=circuits.missing,
        )
    if not circuits.items:
        return not_applicable("the panelboard has no circuits", circuits)
    return [_circuit(case, circuit, allowed=limits.flag("bare_se_from_feeder_allowed")) for circuit in circuits]


def _circuit(case: Case, circuit: Circuit, *, allowed: bool) -> Answer:
    appliance = circuit.use.among(*_APPLIANCES) & _two_poles(circuit)
    if appliance.fails:
        return not_applicable(_NOT_SUCH, appliance, subject=circuit.at)
    bare = _bare(circuit)
    stays = circuit.existing.claim & _service_cable(circuit) & _from_here(case, circuit, allowed=allowed)
    claim = (~bare & _enough_wires(circuit)) | stays
    answer = decide(
        claim,
        yes=_yes(case, circuit, bare),
        no=_no(circuit, allowed=allowed),
        unknown=f"not stated: whether the {_what(circuit)} has four wires, or is an old three-wire one that may stay",
        found=words("neutral", circuit.neutral.value) if circuit.neutral.value is not None else None,
        required=None if claim.holds and bare.holds else words("neutral", "insulated", "="),
        notes=Notes(
            subject=circuit.at,
            remedy=_REMEDY,
            rests_on=(case.panelboard.role,),
            cautions=_cautions(case, bare & stays),
        ),
    )
    return under(appliance, answer, otherwise=_NOT_SUCH)


def _bare(circuit: Circuit) -> Claim:
    """Return the claim that the neutral is the bare one of service cable: not, where another method is stated."""
    neutral, method = circuit.neutral, circuit.wiring_method
    if not neutral.stated and method.stated and method.value != "service-cable":
        return Claim(Truth.NO, method.inputs)
    return neutral.among("bare-se")


def _two_poles(circuit: Circuit) -> Claim:
    if circuit.poles.value is None:
        return Claim(Truth.UNKNOWN, circuit.poles.inputs, circuit.poles.missing)
    return certain(circuit.poles.value == 2, circuit.poles)


def _enough_wires(circuit: Circuit) -> Claim:
    """Return the claim that a circuit without a bare neutral has the wires it needs: a new one a grounding wire too."""
    method = circuit.wiring_method
    return circuit.existing.claim | ~method.among("nonmetallic-cable-without-ground", "knob-and-tube")


def _service_cable(circuit: Circuit) -> Claim:
    """Return the claim that a bare neutral is that of a service cable: in doubt where another method is stated."""
    method = circuit.wiring_method
    if method.value in {None, "service-cable"}:
        return Claim(Truth.YES, method.inputs if method.stated else ())
    return Claim(Truth.UNKNOWN, method.inputs, method.inputs)


def _from_here(case: Case, circuit: Circuit, *, allowed: bool) -> Claim:
    role = case.panelboard.role
    covered = circuit.neutral_covered_in_panelboard.claim
    from_feeder = covered if allowed else Claim(Truth.NO, role.inputs)
    return role.among("service") | from_feeder


def _cautions(case: Case, bare_stays: Claim) -> tuple[str, ...]:
    if bare_stays.holds and case.panelboard.role.value == "feeder" and case.work.becomes_feeder.claim.fails:
        return ("The edition lets a bare neutral stay at a former service panelboard; this one is said to be none.",)
    return ()


def _what(circuit: Circuit) -> str:
    number = f" {circuit.number.value:g}" if circuit.number.value is not None else ""
    return f"{circuit.use.value} circuit{number}" if circuit.use.value in _APPLIANCES else f"circuit{number}"


def _yes(case: Case, circuit: Circuit, bare: Claim) -> str:
    if bare.fails:
        return f"the {_what(circuit)} has no bare neutral"
    if case.panelboard.role.value == "service":
        return f"the existing {_what(circuit)} leaves the service panelboard, from which an old bare neutral may stay"
    return f"the bare neutral of the existing {_what(circuit)} is covered inside the feeder panelboard"


def _no(circuit: Circuit, *, allowed: bool) -> str:
    what = _what(circuit)
    if circuit.existing.claim.fails:
        return f"the {what} is new and has no four wires"
    if not allowed:
        return f"the {what} has a bare neutral and leaves a feeder panelboard, which the edition does not let stay"
    return f"the bare neutral of the {what} is not covered inside the feeder panelboard"
