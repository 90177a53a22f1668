"""Small branch conductors and their fixed overcurrent limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from changeout.domain.facts import Claim, Measurement, merged
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.electrical.overcurrent import small_conductor_limit
from changeout.rules._case import Case
from changeout.rules._circuits import follows_other_article, is_small
from changeout.rules._compare import Notes, Quantity, advise, at_most, decide, figure, not_applicable, spread, within
from changeout.rules._registry import Limits, rule

_PARAMETERS = ("copper_14_a", "copper_12_a", "copper_10_a", "aluminum_12_a", "aluminum_10_a")
_HAZARD = ("An oversized breaker on old small wiring is the commonest fire risk found at a change-out.",)


@rule(
    "small-conductor-overcurrent-limit",
    group="conductors",
    about="/panelboard/circuits",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/circuits/*/conductor/size",
        "/panelboard/circuits/*/conductor/material",
        "/panelboard/circuits/*/breaker/rating",
        "/panelboard/circuits/*/use",
        "/panelboard/circuits/*/outlet",
    ),
    applies_to="every circuit with conductors of 14 to 10 AWG",
    parameters=dict.fromkeys(_PARAMETERS, "number"),
)
def small_conductors(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """The breaker of every small branch conductor is within the fixed limit of its size and material.

    Because: small conductors get hot faster than a larger breaker trips, whatever their table says.
    Passes: when the breaker is at or below the limit.
    Fails: when it is above, and the circuit is not one that another article sizes.
    Cannot tell: when size, material or breaker is not stated and decides; or, of a breaker above the limit, what the
        circuit serves. A circuit that may be of a motor, air conditioner or welder gets advice.
    Not covered: copper-clad aluminum, and sizes under 14 AWG.
    """
    circuits = case.panelboard.circuits
    if not circuits.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the circuits, with their conductors and breakers.",
            missing=circuits.missing,
        )
    if not circuits.items:
        return not_applicable("the panelboard has no circuits", circuits)
    printed = {(f"{name.split('_')[1]} AWG", name.split("_")[0]): limits.number(name) for name in _PARAMETERS}
    return [_circuit(circuit, printed) for circuit in circuits]


def _circuit(circuit: Circuit, printed: Mapping[tuple[str, str], float]) -> Answer:
    size, rating = circuit.conductor.size, circuit.breaker.rating_a
    if size.stated and not is_small(circuit):
        return not_applicable("the conductors are 8 AWG or larger", size, subject=circuit.at)
    limit = small_conductor_limit(size, circuit.conductor.material, printed)
    if limit.high <= 0:
        return _no_use(circuit, limit)
    found = within(rating, limit)
    other = follows_other_article(circuit)
    if found.fails and not other.fails:
        return _other_article(circuit, limit, other)
    return at_most(
        Quantity(name="rating of the breaker", number=rating),
        Quantity(name=_limit_name(circuit), number=limit),
        "A",
        Notes(
            subject=circuit.at,
            remedy="use a breaker within the limit of the conductors, or larger conductors",
            cautions=_HAZARD if found.fails else (),
        ),
    )


def _limit_name(circuit: Circuit) -> str:
    size, material = circuit.conductor.size.value, circuit.conductor.material.value
    return f"limit for {size or 'conductors of unknown size'} {material or 'of unknown material'}"


def _no_use(circuit: Circuit, limit: Measurement) -> Answer:
    size, material = circuit.conductor.size, circuit.conductor.material
    return decide(
        Claim(Truth.NO, merged(size.inputs, material.inputs)),
        yes="",
        no=f"conductors of {size.value} {material.value} are too small for any branch circuit",
        found=figure("rating of the breaker", circuit.breaker.rating_a, "A"),
        required=figure(_limit_name(circuit), limit, "A", "<="),
        notes=Notes(subject=circuit.at, remedy="use larger conductors, or copper", cautions=_HAZARD),
    )


def _other_article(circuit: Circuit, limit: Measurement, other: Claim) -> Answer:
    rating = circuit.breaker.rating_a
    above = f"the breaker ({spread(rating, 'A')}) is more than the {_limit_name(circuit)} ({spread(limit, 'A')})"
    notes = Notes(
        subject=circuit.at,
        remedy="show what sizes the breaker: the nameplate of the motor, air conditioner or welder; else use a "
        "breaker within the limit",
        rests_on=(rating,),
        advice=Advice.INSPECTION,
    )
    if other.holds:
        return advise(f"{above}, which is in order only where the article of its load sizes it", other, notes=notes)
    return decide(
        Claim(Truth.UNKNOWN, merged(other.inputs, limit.inputs, rating.inputs), other.missing),
        yes="",
        no="",
        unknown=f"{above}; whether the article of its load allows it cannot be told from what is stated",
        found=figure("rating of the breaker", rating, "A"),
        required=figure(_limit_name(circuit), limit, "A", "<="),
        notes=notes,
    )
