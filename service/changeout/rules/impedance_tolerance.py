"""How close ratings are to the fault current where impedances are at the low end of what they can be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from changeout.domain.facts import Number
from changeout.domain.findings import Advice, Answer, Basis, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, amount, decide, figure, not_applicable, reaches, spread
from changeout.rules._registry import Limits, rule


@rule(
    "ratings-hold-with-impedance-tolerance",
    group="ratings",
    about="/panelboard",
    stage=Stage.INTAKE,
    needs=(
        "calculation:fault-current",
        "/panelboard/short_circuit_rating",
        "/panelboard/main/kind",
        "/panelboard/main/interrupting_rating",
        "/panelboard/second_main/interrupting_rating",
        "/panelboard/circuits/*/breaker/interrupting_rating",
        "/panelboard/rating_basis",
        "/panelboard/series_rating/combination_rating",
    ),
    applies_to="every rating that covers the fault current as computed; one answer for each",
)
def impedance_tolerance(case: Case, _limits: Limits) -> Sequence[Answer]:
    """Ratings that cover the computed fault current also cover it with low impedances and cold conductors.

    Because: a transformer may have less impedance than its nameplate says, and a cold conductor has less resistance
        than the table's; the true fault current can then be higher than the computed one.
    Passes: when the rating is at or above the fault current with 0.9 of the stated impedance and conductors at 25 °C.
    Fails: never: a rating between the computed value and that one is said as advice, with how close it is.
    Cannot tell: never: a rating that is not stated, or does not cover the computed value, is left to its own rule.
    """
    return [_answer(case, name, at, rating) for name, at, rating in _ratings(case)]


def _ratings(case: Case) -> Iterator[tuple[str, str, Number]]:
    panelboard = case.panelboard
    yield "short-circuit current rating of the panelboard", panelboard.at, panelboard.short_circuit_rating_a
    for name, main in (("main", panelboard.main), ("second main", panelboard.second_main)):
        if main is not None and main.kind.value != "lugs":
            yield f"interrupting rating of the {name}", main.at, main.interrupting_rating_a
    if panelboard.rating_basis.value == "series":
        series = panelboard.series_rating
        yield "combination rating of the series rating", series.at, series.combination_rating_a
    for circuit in panelboard.circuits:
        yield "interrupting rating of the breaker", circuit.at, circuit.breaker.interrupting_rating_a


def _answer(case: Case, name: str, at: str, rating: Number) -> Answer:
    nominal, most = case.fault_current.at_panelboard, case.fault_current.near_limit
    covers = reaches(rating, nominal)
    if not covers.holds:
        return not_applicable(
            f"the {name} is not shown to cover the fault current as computed; its own rule says so", covers, subject=at
        )
    holds = reaches(rating, most)
    found, required = figure(name, rating, "A"), figure("fault current with low impedances", most, "A", ">=")
    if holds.holds:
        return decide(
            holds,
            yes=f"the {name} covers the fault current with the impedance at 0.9 of the nameplate and cold conductors",
            no="",
            found=found,
            required=required,
            notes=Notes(subject=at, basis=Basis.COMPUTED),
        )
    margin = 100 * (rating.low - nominal.high) / nominal.high
    answer = advise(
        f"the {name} ({spread(rating, 'A')}) is {amount(round(margin, 1), '%')} above the computed fault current "
        f"({spread(nominal, 'A')}); with the transformer's impedance at 0.9 of its nameplate and cold conductors that "
        f"current can reach {amount(most.high, 'A')}",
        holds,
        notes=Notes(
            subject=at,
            advice=Advice.NEAR_LIMIT,
            basis=Basis.COMPUTED,
            remedy="use a higher rating, or submit the tested impedance of the transformer",
        ),
    )
    return replace(answer, found=found, required=required, calculation=most.calculation)
