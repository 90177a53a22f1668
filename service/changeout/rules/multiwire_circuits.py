"""Circuits that share a neutral."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Sequence

from changeout.domain.facts import Claim, Listed, all_claims, merged
from changeout.domain.findings import Answer, Figure, Judgement, Stage
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.electrical.positions import legs_taken
from changeout.electrical.systems import SYSTEMS
from changeout.rules._case import Case
from changeout.rules._compare import Notes, bare, decide, not_applicable, words
from changeout.rules._registry import Limits, rule


@rule(
    "multiwire-circuit-disconnect",
    group="circuits",
    about="/panelboard/circuits",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/circuits",
        "/panelboard/circuits/*/multiwire_group",
        "/panelboard/circuits/*/number",
        "/panelboard/circuits/*/poles",
        "/panelboard/circuits/*/breaker/handle_tie",
        "/supply/system",
    ),
    applies_to="circuits that are declared to share a neutral",
)
def multiwire_circuits(case: Case, _limits: Limits) -> Answer | Sequence[Answer]:
    """Circuits that share a neutral open together and stand on different legs.

    Because: on the same leg the shared neutral carries the sum of their currents, not the difference; and with one
        of them left on, whoever works on the other is shocked by the neutral.
    Passes: when a breaker of several poles, or identified handle ties, open them together, and by their positions they
        stand on different legs.
    Fails: when two of them stand on the same leg, or single-pole breakers are not tied.
    Cannot tell: when a number, the poles or a handle tie is not stated and decides, or only one circuit of a group is
        listed.
    Not covered: circuits that share a neutral and are not declared to; how neutrals are bundled in the box. Legs are
        told from positions: odd ones left, even ones right, each row the next leg.
    """
    circuits = case.panelboard.circuits
    if not circuits.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the circuits, and which of them share a neutral.",
            missing=circuits.missing,
        )
    groups = _groups(circuits)
    if not groups:
        return not_applicable("no circuits are declared to share a neutral", circuits)
    found = [_member(case, circuit, group) for group in groups for circuit in group]
    alone = [c for c in circuits if c.multiwire_group.value is None]
    return [*found, *(not_applicable("the circuit is not declared to share a neutral", subject=c.at) for c in alone)]


def _groups(circuits: Listed[Circuit]) -> list[tuple[Circuit, ...]]:
    named: dict[str, list[Circuit]] = defaultdict(list)
    for circuit in circuits:
        if circuit.multiwire_group.value is not None:
            named[bare(circuit.multiwire_group.value)].append(circuit)
    return [tuple(group) for group in named.values()]


def _member(case: Case, circuit: Circuit, group: Sequence[Circuit]) -> Answer:
    together, apart = _opens_together(group), _different_legs(case, group)
    name = circuit.multiwire_group.value or ""
    numbers = _numbers(group)
    found, required = _deciding(together, apart, _legs_in_words(case, group))
    return decide(
        together & apart,
        yes=f"the circuits that share a neutral ({name}: {numbers}) open together and stand on different legs",
        no=f"circuits that share a neutral ({name}: {numbers}) stand on the same leg"
        if apart.fails
        else f"the single-pole breakers of circuits that share a neutral ({name}: {numbers}) are not tied together",
        unknown=f"whether the circuits that share a neutral ({name}: {numbers}) open together and stand on different "
        "legs cannot be told from what is stated",
        found=found,
        required=required,
        notes=Notes(
            subject=circuit.at,
            rests_on=tuple(c.multiwire_group for c in group),
            remedy="move one of the circuits to another leg"
            if apart.fails
            else "use a breaker of several poles, or identified handle ties",
            cautions=_not_side_by_side(group) if together.holds else (),
        ),
    )


def _deciding(together: Claim, apart: Claim, legs: str) -> tuple[Figure | None, Figure | None]:
    """Return what was found and what is required of the test that decides."""
    if together.fails and not apart.fails:
        return words("common disconnect", "none"), words("common disconnect", "present", "=")
    return (words("legs", legs), words("legs", "a different one for each", "=")) if legs else (None, None)


def _numbers(group: Sequence[Circuit]) -> str:
    return ", ".join("unnumbered" if c.number.value is None else f"{c.number.value:g}" for c in group)


def _opens_together(group: Sequence[Circuit]) -> Claim:
    """Return the claim that one movement opens all: one breaker of several poles, or breakers that are all tied."""
    if len(group) == 1:
        only = group[0]
        if only.poles.value is not None and only.poles.value > 1:
            return Claim(Truth.YES, only.poles.inputs)
        missing = only.poles.missing or only.multiwire_group.inputs
        return Claim(Truth.UNKNOWN, merged(only.poles.inputs, only.multiwire_group.inputs), missing)
    return all_claims(circuit.breaker.handle_tie.claim for circuit in group)


def _different_legs(case: Case, group: Sequence[Circuit]) -> Claim:
    system = case.supply.system
    inputs = merged(system.inputs, *(merged(c.number.inputs, c.poles.inputs) for c in group))
    missing = merged(*(merged(c.number.missing, c.poles.missing) for c in group))
    known = [c for c in group if c.number.value is not None and c.poles.value is not None]
    phases = [SYSTEMS[system.value].phases] if system.value is not None else [1, 3]
    clashes = {_clash(known, count) for count in phases}
    if clashes == {True}:
        return Claim(Truth.NO, inputs)
    if missing or True in clashes:
        return Claim(Truth.UNKNOWN, inputs, merged(missing, system.missing))
    return Claim(Truth.YES, inputs)


def _legs(circuit: Circuit, phases: int) -> tuple[str, ...]:
    return legs_taken(int(circuit.number.value or 1), int(circuit.poles.value or 1), phases)


def _clash(group: Sequence[Circuit], phases: int) -> bool:
    taken = [leg for circuit in group for leg in _legs(circuit, phases)]
    return len(taken) > len(set(taken))


def _legs_in_words(case: Case, group: Sequence[Circuit]) -> str:
    system = case.supply.system.value
    if system is None or any(c.number.value is None or c.poles.value is None for c in group):
        return ""
    return ", ".join("/".join(_legs(c, SYSTEMS[system].phases)).upper() for c in group)


def _not_side_by_side(group: Sequence[Circuit]) -> tuple[str, ...]:
    places = sorted(int(c.number.value) for c in group if c.number.value is not None)
    steps = {later - earlier for earlier, later in itertools.pairwise(places)}
    if len(group) < 2 or steps <= {2}:
        return ()
    return ("Their positions are not side by side: see that a handle tie reaches from one to the other.",)
