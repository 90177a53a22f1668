"""Conductors used no hotter than their terminals allow."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, Measured, Number, merged
from changeout.domain.findings import Answer, Basis, Figure, Judgement, Stage
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.electrical.installation import (
    TABLE_AMBIENT_DEGC,
    Conductors,
    Terminals,
    column_for,
    conductors_of_circuit,
    conductors_of_run,
)
from changeout.rules._case import Case
from changeout.rules._circuits import branch_protection, follows_other_article, is_small
from changeout.rules._compare import Notes, decide, figure, not_applicable, spread
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import (
    AMPACITY_NEEDS,
    DEVICE_NEEDS,
    DWELLING_PARAMETERS,
    TerminalsFor,
    last_run,
    unlimited_terminals,
)
from changeout.rules._supply_protection import Protection, supply_protection
from changeout.rules._taps import TAP_PARAMETERS


def _marked(limits: Limits) -> TerminalsFor:
    """Return the terminals as marked, or else as the row takes them for the rating of the circuit."""

    def marked(at: Case, circuit_a: Measured) -> Terminals:
        return Terminals(
            marked_degc=at.panelboard.termination_temperature_degc,
            circuit_a=circuit_a,
            low_column_degc=int(limits.number("low_degc")),
            high_column_degc=int(limits.number("high_degc")),
            through_a=limits.number("split_a"),
        )

    return marked


def _of_circuit(case: Case, limits: Limits, circuit: Circuit) -> Answer:
    round_up_to_a, marked = limits.number("round_up_to_a"), _marked(limits)
    limited = branch_protection(case, circuit, round_up_to_a, marked)
    other = follows_other_article(circuit)
    if not limited.claim.holds and (is_small(circuit) or other.holds):
        return not_applicable(
            "the breaker is sized by a limit or an article of its own: the rules on the circuit's conductors answer",
            circuit.conductor.size,
            circuit.use,
            subject=circuit.at,
        )
    own = conductors_of_circuit(circuit.conductor)
    if limited.claim.unknown and _never_hotter(own, marked(case, circuit.breaker.rating_a)):
        return _cool_enough(case, circuit.conductor.insulation_temperature_degc, circuit.at)
    permitted = limited.ampacity if limited.at_ampacity.holds or not limited.several.fails else limited.rounded
    claim = limited.claim
    # Terminals that never are the limit permit what these do, and more.
    free = claim if claim.holds else branch_protection(case, circuit, round_up_to_a, unlimited_terminals).claim
    if claim.fails and other.unknown:
        claim = Claim(Truth.UNKNOWN, merged(claim.inputs, other.inputs), other.missing)
    return _judged(
        circuit.at,
        claim,
        free,
        figure("rating of the breaker", circuit.breaker.rating_a, "A"),
        figure("greatest breaker at the temperature that the terminals allow", permitted, "A", "<="),
    )


@rule(
    "termination-temperature-limit",
    group="conductors",
    about="/panelboard/circuits",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/circuits/*/breaker/rating",
        "/panelboard/circuits/*/conductor/size",
        "/panelboard/circuits/*/conductor/material",
        "/panelboard/circuits/*/conductor/insulation_temperature",
        "/panelboard/circuits/*/outlet",
        "/panelboard/circuits/*/outlets",
        "/panelboard/circuits/*/use",
        "/supply/system",
        "/supply/separately_derived",
        "/supply/tap",
        "/supply/tap_rule",
        "/supply/tap_length",
        "/supply/carries_entire_dwelling_load",
        "/project/occupancy",
        "/project/serves",
        "calculation:load",
        *DEVICE_NEEDS,
        *AMPACITY_NEEDS,
    ),
    applies_to="the supply conductors, and every circuit",
    parameters={
        "split_a": "number",
        "low_degc": "number",
        "high_degc": "number",
        "round_up_to_a": "number",
        **DWELLING_PARAMETERS,
        **TAP_PARAMETERS,
    },
    of_circuit=_of_circuit,
)
def termination_temperature(case: Case, limits: Limits) -> Sequence[Answer]:
    """Conductors are sized in a column of the table that is no hotter than their terminals allow.

    Because: a conductor that runs hotter than its terminal is made for bakes the terminal and the device behind it.
    Passes: when the conductors are large enough in the column that the terminals allow: the marked one, else the
        edition's for the rating of the circuit; or when the column of their own insulation is no hotter than that.
    Fails: when they are large enough only in a hotter column.
    Cannot tell: when the marking, at or under the edition's rating, or something about the conductors is not stated
        and decides: both columns are tried then.
    Not covered: conductors that are too small in every column, and circuits that other articles size: their own
        rules answer. The terminals at the far end of a conductor.
    """
    answers = [_supply(case, limits, _marked(limits))]
    circuits = case.panelboard.circuits
    if not circuits.stated:
        answers.append(
            Answer(
                judgement=Judgement.UNKNOWN,
                message="Not stated: the circuits, with their conductors and breakers.",
                missing=circuits.missing,
            )
        )
    answers.extend(_of_circuit(case, limits, circuit) for circuit in circuits)
    return answers


def _supply(case: Case, limits: Limits, marked: TerminalsFor) -> Answer:
    runs, run = case.supply.runs, last_run(case)
    if run is None:
        if runs.stated:
            return not_applicable("no conductors lead to the panelboard", runs, subject=runs.at)
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the supply conductors, and in which column they are sized.",
            subject=runs.at,
            missing=runs.missing,
        )
    limited = supply_protection(case, limits, marked)
    if limited is None:
        return not_applicable("no device is there that the supply conductors are sized for", runs, subject=run.at)
    if limited.claim.unknown and _never_hotter(conductors_of_run(run), marked(case, limited.device)):
        return _cool_enough(case, run.insulation_temperature_degc, run.at)
    required = figure(limited.limit_name, limited.limit, "A", "<=")
    free = _unlimited(case, limits, limited)
    return _judged(run.at, limited.claim, free, figure(limited.name, limited.device, "A"), required)


def _unlimited(case: Case, limits: Limits, limited: Protection) -> Claim:
    """Return whether they are large enough for terminals that never are the limit: they are, if for any others."""
    free = None if limited.claim.holds else supply_protection(case, limits, unlimited_terminals)
    return limited.claim if free is None else free.claim


def _never_hotter(conductors: Conductors, ends: Terminals) -> bool:
    """Whether the conductors' own column is none too hot for their terminals, and nothing raises what it says."""
    insulation = conductors.insulation_degc.value
    cool = min(conductors.ambient.values) < TABLE_AMBIENT_DEGC
    return insulation is not None and not cool and column_for(insulation) <= min(ends.columns)


def _cool_enough(case: Case, insulation: Number, at: str) -> Answer:
    marked = case.panelboard.termination_temperature_degc
    return decide(
        Claim(Truth.YES, insulation.inputs),
        yes=f"the column of the conductors' own insulation ({spread(insulation, 'degC')}) is none that is hotter than "
        "the terminals allow, whatever their size",
        no="",
        notes=Notes(subject=at, rests_on=(marked,) if marked.stated else (), basis=Basis.COMPUTED),
    )


def _judged(at: str, limited: Claim, free: Claim, found: Figure, required: Figure) -> Answer:
    """Answer by whether the conductors are large enough with the limit of the terminals and without it."""
    if free.fails:
        return not_applicable(
            "the conductors are too small in every column: the rules on their protection answer", free, subject=at
        )
    claim = limited
    if limited.fails and free.unknown:
        claim = Claim(Truth.UNKNOWN, merged(limited.inputs, free.inputs), free.missing)
    return decide(
        claim,
        yes="the conductors are large enough in the column that the terminals allow",
        no="the conductors are large enough only in a column of the ampacity table that is hotter than the terminals "
        "allow",
        unknown="whether the conductors are large enough in the column that the terminals allow cannot be told from "
        "what is stated",
        found=found,
        required=required,
        notes=Notes(
            subject=at,
            remedy="use larger conductors, or show a marking that allows the hotter column",
            basis=Basis.COMPUTED,
        ),
    )
