"""Branch conductors of 8 AWG and larger against their breakers."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, merged
from changeout.domain.findings import Advice, Answer, Basis, Figure, Judgement, Stage
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._circuits import BranchProtection, branch_protection, follows_other_article, is_small
from changeout.rules._compare import Notes, advise, decide, figure, not_applicable, spread
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import terminals


@rule(
    "branch-conductor-ampacity",
    group="conductors",
    about="/panelboard/circuits",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/circuits/*/conductor/size",
        "/panelboard/circuits/*/conductor/material",
        "/panelboard/circuits/*/conductor/insulation_temperature",
        "/panelboard/circuits/*/breaker/rating",
        "/panelboard/circuits/*/outlet",
        "/panelboard/circuits/*/outlets",
        "/panelboard/circuits/*/use",
        "/panelboard/termination_temperature",
    ),
    applies_to="every circuit with conductors of 8 AWG or larger",
    parameters={"round_up_to_a": "number"},
)
def branch_conductors(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """The breaker of every larger branch circuit is no larger than its conductors permit.

    Because: a conductor that a breaker lets run above its ampacity bakes its insulation.
    Passes: when the breaker is at or below the ampacity; or at the next standard rating above it, unless the circuit
        has two or more receptacle outlets.
    Fails: when it is above, and the circuit is not one that another article sizes.
    Cannot tell: when something about conductors, terminals, breaker or outlets is not stated and decides. A circuit
        that may be of a motor, air conditioner or welder gets advice.
    Not covered: ambient temperatures over 30 °C and more than three current-carrying conductors together, which no
        proposal states of a branch circuit.
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
    return [_circuit(case, circuit, limits.number("round_up_to_a")) for circuit in circuits]


def _circuit(case: Case, circuit: Circuit, round_up_to_a: float) -> Answer:
    if is_small(circuit):
        return not_applicable(
            "the conductors are smaller than 8 AWG: the rule on small conductors answers",
            circuit.conductor.size,
            subject=circuit.at,
        )
    found = branch_protection(case, circuit, round_up_to_a, terminals)
    other, claim = follows_other_article(circuit), found.claim
    breaker = f"the breaker ({spread(circuit.breaker.rating_a, 'A')})"
    carried = f"the ampacity of its conductors ({spread(found.ampacity, 'A')})"
    larger = f"{breaker} is larger than its conductors permit, whose ampacity is {spread(found.ampacity, 'A')}"
    if claim.fails and other.holds:
        return advise(
            f"{larger}; that is in order only where the article of its load sizes it",
            claim,
            other,
            notes=Notes(
                subject=circuit.at,
                remedy="show what sizes the breaker: the nameplate of the motor, air conditioner or welder",
                advice=Advice.INSPECTION,
            ),
        )
    if claim.fails and other.unknown:
        claim = Claim(Truth.UNKNOWN, merged(claim.inputs, other.inputs), other.missing)
    return decide(
        claim,
        yes=f"{breaker} is no more than {carried}"
        if found.at_ampacity.holds
        else f"{breaker} is no more than the next standard rating above {carried}",
        no=larger + (" and is not rounded up with two or more receptacle outlets" if found.several.holds else ""),
        unknown=f"whether {breaker} is no larger than its conductors permit (ampacity {spread(found.ampacity, 'A')}) "
        "cannot be told from what is stated",
        found=figure("rating of the breaker", circuit.breaker.rating_a, "A"),
        required=_required(found),
        notes=Notes(
            subject=circuit.at,
            remedy="use a breaker that the conductors permit, or larger conductors",
            basis=Basis.COMPUTED,
        ),
    )


def _required(found: BranchProtection) -> Figure:
    if found.at_ampacity.holds or not found.several.fails:
        return figure("ampacity of the conductors", found.ampacity, "A", "<=")
    return figure("greatest breaker that the conductors permit", found.rounded, "A", "<=")
