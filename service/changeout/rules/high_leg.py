"""The leg of a high-leg system that has the higher voltage to ground."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from changeout.domain.facts import Claim, merged
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.electrical.positions import LEGS, legs_taken
from changeout.electrical.systems import SYSTEMS
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable, under, words
from changeout.rules._registry import Limits, rule

_HIGH_LEG: Final = tuple(name for name, system in SYSTEMS.items() if system.high_leg_v is not None)
_LABEL = "mark the high leg orange, or by other effective means, wherever it is connected at the panelboard"


@rule(
    "high-leg-position-and-marking",
    group="circuits",
    about="/panelboard",
    stage=Stage.INSPECTION,
    needs=(
        "/supply/system",
        "/panelboard/high_leg_phase",
        "/panelboard/high_leg_marked",
        "/former_panelboard/high_leg_phase",
        "/panelboard/circuits/*/number",
        "/panelboard/circuits/*/poles",
        "/panelboard/circuits/*/neutral",
    ),
    applies_to="panelboards of high-leg systems",
    parameters={"phase": "word", "existing_phase": "word"},
)
def high_leg(case: Case, limits: Limits) -> Sequence[Answer] | Answer:
    """The high leg is where the edition wants it, marked, and no single-pole circuit is on it.

    Because: the high leg has about 208 V to neutral and destroys whatever is made for 120 V.
    Passes: when it is on the phase that the edition names and marked, and every single-pole circuit is on another leg.
    Fails: when it is unmarked, on another phase without the arrangement that an existing plant may keep, or a
        single-pole circuit is on it.
    Cannot tell: when its phase, its marking, or the position or poles of a circuit is not stated. On the phase where
        old plants and some metering have it, it may stay where it was: that is for the authority having jurisdiction.
        A two-pole circuit on it that has a neutral gets advice.
    Not covered: the warning label of the panelboard. Legs are told from positions: odd ones left, even ones right, each
        row the next leg.
    """
    system = case.supply.system.among(*_HIGH_LEG)
    if system.fails:
        return not_applicable("the system has no high leg", system)
    answers = [_phase(case, limits), *_circuits(case)]
    return [under(system, answer, otherwise="the system has no high leg") for answer in answers]


def _phase(case: Case, limits: Limits) -> Answer:
    panelboard, former = case.panelboard, case.proposal.former_panelboard.high_leg_phase
    phase, marked = panelboard.high_leg_phase, panelboard.high_leg_marked.claim
    wanted, old = limits.word("phase"), limits.word("existing_phase")
    placed = phase.among(wanted)
    kept = former.among(old)
    if phase.value == old and not kept.fails:
        if kept.holds and marked.holds:
            return _old_place(case, old)
        placed = Claim(Truth.UNKNOWN, merged(phase.inputs, former.inputs), merged(former.missing, marked.missing))
    return decide(
        placed & marked,
        yes=f"the high leg is on phase {wanted.upper()} and marked",
        no=f"the high leg is on phase {(phase.value or '').upper()}, not on {wanted.upper()}"
        if placed.fails
        else "the high leg is not marked at the panelboard",
        unknown=f"the high leg is on phase {old.upper()}, which an existing plant may keep where it was there before; "
        "not all of that is stated"
        if phase.value == old
        else f"not stated: whether the high leg is on phase {wanted.upper()} and marked",
        found=words("phase of the high leg", phase.value) if phase.value is not None else None,
        required=words("phase of the high leg", wanted, "="),
        notes=Notes(subject=phase.at, remedy=_LABEL if not placed.fails else f"connect it to phase {wanted.upper()}"),
    )


def _old_place(case: Case, old: str) -> Answer:
    phase, former = case.panelboard.high_leg_phase, case.proposal.former_panelboard.high_leg_phase
    return advise(
        f"the high leg is on phase {old.upper()}, where it was before the work; an existing plant may keep that, and a "
        "panelboard in one section with its metering may have it there: the authority having jurisdiction decides",
        phase,
        former,
        notes=Notes(
            subject=phase.at, remedy="mark the arrangement, and agree on it with the authority", advice=Advice.READING
        ),
    )


def _circuits(case: Case) -> list[Answer]:
    circuits, phase = case.panelboard.circuits, case.panelboard.high_leg_phase
    if not circuits.stated:
        return [
            Answer(
                judgement=Judgement.UNKNOWN,
                message="Not stated: the circuits, and whether a single-pole one is on the high leg.",
                subject=circuits.at,
                missing=circuits.missing,
            )
        ]
    return [_circuit(case, circuit) for circuit in circuits] if phase.stated else []


def _circuit(case: Case, circuit: Circuit) -> Answer:
    poles, at = circuit.poles, circuit.at
    if poles.value is not None and poles.value >= len(LEGS):
        return not_applicable("the circuit takes every leg", poles, subject=at)
    on_it = _on_high_leg(case, circuit)
    if poles.value == 2:
        if on_it.holds and circuit.neutral.among("insulated", "bare-se").holds:
            return advise(
                "the two-pole circuit takes the high leg and has a neutral: no load may be connected between the two",
                on_it,
                circuit.neutral,
                notes=Notes(subject=at, remedy="move it to the two other legs", advice=Advice.READING),
            )
        return not_applicable("the circuit has two poles and no load from the high leg to neutral", poles, subject=at)
    single = (
        Claim(Truth.UNKNOWN, poles.inputs, poles.missing) if poles.value is None else Claim(Truth.YES, poles.inputs)
    )
    which = f"circuit {circuit.number.value:g}" if circuit.number.value is not None else "the circuit"
    return decide(
        ~(on_it & single),
        yes=f"{which} is not on the high leg",
        no=f"{which} is a single-pole circuit on the high leg",
        unknown=f"not stated: whether {which} is a single-pole circuit on the high leg",
        notes=Notes(subject=at, remedy="move the single-pole circuit to another leg"),
    )


def _on_high_leg(case: Case, circuit: Circuit) -> Claim:
    number, poles, phase = circuit.number, circuit.poles, case.panelboard.high_leg_phase
    inputs = merged(number.inputs, poles.inputs, phase.inputs)
    if number.value is None or phase.value is None:
        return Claim(Truth.UNKNOWN, inputs, merged(number.missing, phase.missing))
    legs = legs_taken(int(number.value), int(poles.value or 1), len(LEGS))
    return Claim(Truth.of(phase.value in legs), inputs)
