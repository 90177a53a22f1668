"""Voltage ratings of breakers against the system: straight ratings and slash ratings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from changeout.domain.facts import Claim, Fact, Measured, Measurement, VoltageRating, all_claims, fixed, merged
from changeout.domain.findings import Answer, Judgement, Stage
from changeout.domain.interval import Interval
from changeout.domain.proposal import Circuit, MainDevice, Supply
from changeout.domain.truth import Truth
from changeout.domain.value import value
from changeout.electrical.positions import LEGS, legs_taken
from changeout.electrical.systems import SYSTEMS, voltage_to_ground
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable, spread, under, within, words
from changeout.rules._registry import Limits, rule

EVERYDAY: Final = ("120/240V-1ph-3w", "120/208V-1ph-3w", "208Y/120V-3ph-4w")
"""Systems that every breaker made for panelboards is marked high enough for (common practice, no source)."""


@rule(
    "breaker-voltage-rating-suits-system",
    group="ratings",
    about="/panelboard/circuits",
    stage=Stage.INSPECTION,
    needs=(
        "/supply/system",
        "/supply/system_grounding",
        "/panelboard/circuits/*/breaker/voltage_rating",
        "/panelboard/circuits/*/poles",
        "/panelboard/circuits/*/number",
        "/panelboard/main/voltage_rating",
        "/panelboard/main/kind",
        "/panelboard/second_main/kind",
        "/panelboard/second_main/voltage_rating",
        "/panelboard/high_leg_phase",
    ),
    applies_to="every proposal; one answer for each circuit and each main breaker",
)
def breaker_voltage(case: Case, _limits: Limits) -> Sequence[Answer]:
    """Breakers have voltage ratings that suit the system.

    Because: a breaker with a slash rating breaks the full line-to-line voltage only with all its poles together; where
        one pole can see more than the lower value, it cannot.
    Passes: when a straight rating is at or above the line-to-line voltage, or of a slash rating the higher value is
        and the lower one covers the voltage to ground. One pole: the voltage to ground.
    Fails: when a rating is lower, as a slash rating is on the high leg and on ungrounded or corner-grounded systems.
    Cannot tell: when the rating is not stated on other systems than the everyday ones at 120/240 and 208Y/120 V.
    Not covered: the marking of a two-pole breaker for a corner-grounded system, which is said as advice.
    """
    panelboard, volts = case.panelboard, _Volts.of(case.supply)
    answers = [_main(case, panelboard.main, "main", volts)]
    if panelboard.second_main is not None:
        answers.append(_main(case, panelboard.second_main, "second main", volts))
    if not panelboard.circuits.stated:
        answers.append(
            Answer(
                judgement=Judgement.UNKNOWN,
                message="Not stated: the circuits, and the voltage ratings of their breakers.",
                missing=panelboard.circuits.missing,
            )
        )
    answers.extend(_circuit(case, circuit, volts) for circuit in panelboard.circuits)
    return answers


@value(frozen=True, slots=True, kw_only=True)
class _Volts:
    """What breakers can see on the system, in whole volts as ratings are marked."""

    between_lines: Measurement
    to_ground: Measurement

    @classmethod
    def of(cls, supply: Supply) -> _Volts:
        return cls(between_lines=_line_to_line(supply), to_ground=_nominal(voltage_to_ground(supply)))


def _main(case: Case, main: MainDevice, name: str, volts: _Volts) -> Answer:
    claim = _several_poles(main.voltage_rating, volts.between_lines, volts.to_ground)
    answer = _judged(case, f"the {name}", main.voltage_rating, claim, main.at, volts)
    return under(main.kind.among("breaker"), answer, otherwise=f"the {name} is no breaker")


def _circuit(case: Case, circuit: Circuit, volts: _Volts) -> Answer:
    rating, poles, at = circuit.breaker.voltage_rating, circuit.poles.value, circuit.at
    to_ground = _to_ground(case, circuit, volts.to_ground)
    one = _one_pole(rating, to_ground)
    several = _several_poles(rating, volts.between_lines, to_ground)
    claim = one if poles == 1 else several
    if poles is None:
        claim = one if one.truth is several.truth else Claim(Truth.UNKNOWN, one.inputs, circuit.poles.missing)
    corner = case.supply.system_grounding.among("corner-grounded")
    if poles == 2 and corner.holds and claim.holds:
        return advise(
            "the two-pole breaker has a sufficient straight voltage rating; on a corner-grounded system it also needs "
            "the marking for it",
            claim,
            corner,
            notes=Notes(subject=at),
        )
    return _judged(case, "the breaker", rating, claim, at, volts)


def _judged(case: Case, what: str, rating: VoltageRating, claim: Claim, at: str, volts: _Volts) -> Answer:
    supply = case.supply
    grounded = supply.system_grounding.value in {None, "solidly-grounded"}
    if not rating.stated and supply.system.value in EVERYDAY and grounded:
        return not_applicable(
            "the voltage rating is not stated; on this system every breaker made for panelboards is marked high enough",
            supply.system,
            subject=at,
        )
    system = (supply.system.value or "system not stated").replace("-", " ")
    to_ground = spread(volts.to_ground, "V")
    return decide(
        claim,
        yes=f"{what} is rated {rating.value}, which suits the system ({system})",
        no=f"{what} is rated {rating.value}, which does not suit the system ({system}, up to {to_ground} to ground)",
        unknown=f"whether the voltage rating of {what} suits the system ({system}) is not stated",
        found=words("voltage rating", rating.value) if rating.value else None,
        required=words("system", f"{system}, up to {to_ground} to ground"),
        notes=Notes(
            subject=at,
            remedy="use a breaker with a straight rating at or above the line-to-line voltage, or a slash rating whose "
            "lower value covers the voltage to ground",
        ),
    )


def _one_pole(rating: VoltageRating, to_ground: Measurement) -> Claim:
    lower = rating.line_to_ground_v if rating.is_slash else rating.line_to_line_v
    return _covers(rating, to_ground, lower)


def _several_poles(rating: VoltageRating, between_lines: Measurement, to_ground: Measurement) -> Claim:
    between = _covers(rating, between_lines, rating.line_to_line_v)
    if not rating.is_slash:
        return between
    return all_claims((between, _covers(rating, to_ground, rating.line_to_ground_v)))


def _covers(rating: VoltageRating, needed: Measurement, marked: float | None) -> Claim:
    if marked is None:
        return Claim(Truth.UNKNOWN, merged(rating.inputs, needed.inputs), merged(rating.missing, needed.missing))
    claim = within(needed, fixed(marked))
    return Claim(claim.truth, merged(rating.inputs, claim.inputs), claim.missing)


def _line_to_line(supply: Supply) -> Measurement:
    system = supply.system
    names = (system.value,) if system.value is not None else tuple(SYSTEMS)
    volts = [SYSTEMS[name].line_to_line_v for name in names]
    return Measurement(Interval(min(volts), max(volts)), system.inputs, system.missing)


def _to_ground(case: Case, circuit: Circuit, whole: Measurement) -> Measurement:
    """Return the greatest voltage to ground of the legs that a circuit takes; *whole* is that of the whole supply."""
    supply = case.supply
    system = SYSTEMS[supply.system.value] if supply.system.value is not None else None
    split = system is not None and supply.system_grounding.value in {None, "solidly-grounded"}
    if system is None or not split or system.high_leg_v is None or system.line_to_neutral_v is None:
        return whole
    number, poles, phase = circuit.number, circuit.poles, case.panelboard.high_leg_phase
    facts: tuple[Fact, ...] = (supply.system, number, poles, phase)
    inputs = merged(*(f.inputs for f in facts))
    missing = merged(*(f.missing for f in facts))
    if poles.value is not None and poles.value >= len(LEGS):
        return Measurement(Interval.exactly(system.high_leg_v), inputs)
    if number.value is None or poles.value is None or phase.value is None:
        return Measurement(Interval(system.line_to_neutral_v, system.high_leg_v), inputs, missing)
    legs = legs_taken(int(number.value), int(poles.value), system.phases)
    return Measurement(Interval.exactly(system.high_leg_v if phase.value in legs else system.line_to_neutral_v), inputs)


def _nominal(volts: Measured) -> Measurement:
    """Return voltages as ratings are marked, in whole volts: 277 of 480 / sqrt(3)."""
    return Measurement(Interval(round(volts.low), round(volts.high)), volts.inputs, volts.missing)
