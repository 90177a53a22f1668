"""The interrupting rating of every branch and feeder breaker against the fault current at the busbar."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim
from changeout.domain.findings import Answer, Judgement, Stage
from changeout.domain.proposal import Circuit
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, advise, at_least, decide, figure, not_applicable, reaches
from changeout.rules._registry import Limits, rule
from changeout.rules._series import series_claimed, series_conditions


@rule(
    "branch-breaker-interrupting-rating",
    group="ratings",
    about="/panelboard/circuits",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/circuits/*/breaker/interrupting_rating",
        "/panelboard/rating_basis",
        "/panelboard/series_rating/basis",
        "/panelboard/series_rating/tested_combination_document",
        "/panelboard/series_rating/field_marked",
        "/panelboard/series_rating/combination_rating",
        "/panelboard/series_rating/motor_full_load_current",
        "/work/scope",
        "/documents",
        "calculation:fault-current",
    ),
    applies_to="every circuit of the panelboard",
    parameters={"max_motor_percent": "number"},
    # The motors between the pair of a series rating are measured by the least rating of all branch breakers.
    circuits_together=lambda case: not series_claimed(case).fails,
)
def branch_interrupting_rating(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """Every branch breaker can interrupt the fault current at the busbar, or a series rating covers it.

    Because: the fault current at the busbar reaches each breaker, and one that cannot break it bursts.
    Passes: when the interrupting rating is at or above the highest value of the fault current, or a series rating
        whose conditions are met covers the breaker.
    Fails: when the panelboard is fully rated and the interrupting rating is below the lowest value of the fault
        current.
    Cannot tell: when a rating is not stated or lies inside the range of the fault current, or the conditions of the
        series rating are not all stated.
    Not covered: the series rating itself: where its conditions are not met its own rules say so, and this one points
        to them.
    """
    circuits = case.panelboard.circuits
    if not circuits.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the circuits, and the interrupting ratings of their breakers.",
            missing=circuits.missing,
        )
    if not circuits.items:
        return not_applicable("the panelboard has no circuits", circuits)
    series = series_claimed(case)
    met = series_conditions(case, limits.number("max_motor_percent"))
    return [_circuit(case, circuit, series, met) for circuit in circuits]


def _circuit(case: Case, circuit: Circuit, series: Claim, met: Claim) -> Answer:
    current, rating = case.fault_current.at_panelboard, circuit.breaker.interrupting_rating_a
    own = reaches(rating, current)
    notes = Notes(
        subject=circuit.at,
        rests_on=(case.panelboard.rating_basis,),
        remedy="use a breaker with an interrupting rating at or above the available fault current",
    )
    if own.holds or series.fails:
        return at_least(
            Quantity(name="interrupting rating of the breaker", number=rating),
            Quantity(name="available fault current", number=current),
            "A",
            notes,
        )
    claim = case.panelboard.series_rating
    if series.holds and met.fails and own.fails:
        return advise(
            "the breaker counts on a series rating whose conditions are not met: see the rules on the series rating",
            series,
            met,
            notes=notes,
        )
    return decide(
        own | (met if series.holds else series),
        yes="a series rating whose conditions are met covers the breaker, whose own interrupting rating is lower",
        no="",
        unknown="whether the breaker's own interrupting rating or a series rating covers the available fault current "
        "cannot be told from what is stated",
        found=figure("combination rating of the series rating", claim.combination_rating_a, "A")
        if series.holds and met.holds
        else figure("interrupting rating of the breaker", rating, "A"),
        required=figure("available fault current", current, "A", ">="),
        notes=Notes(subject=circuit.at, documents=(claim.tested_combination_document,)),
    )
