"""A series rating with a tested combination of devices."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import (
    Notes,
    Quantity,
    at_least,
    decide,
    figure,
    kind_caution,
    named,
    reaches,
    under,
)
from changeout.rules._registry import Limits, rule
from changeout.rules._series import combination_covers, is_tested, series_claimed


@rule(
    "series-combination-tested-and-marked",
    group="ratings",
    about="/panelboard/series_rating",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/rating_basis",
        "/panelboard/series_rating/basis",
        "/panelboard/series_rating/tested_combination_document",
        "/panelboard/series_rating/field_marked",
        "/panelboard/series_rating/combination_rating",
        "calculation:fault-current",
        "/panelboard/series_rating/upstream_interrupting_rating",
    ),
    applies_to="a panelboard whose rating rests on a tested series combination",
)
def series_combination(case: Case, _limits: Limits) -> Answer:
    """A series rating rests on a tested combination, is marked, and covers the available fault current.

    Because: a series rating holds only for the exact devices that were tested together; a later breaker of another
        type ends it silently.
    Passes: when the combination's document is named, the equipment is field marked, and the combination rating is at
        or above the highest value of the fault current.
    Fails: when the marking is declared missing, or the combination rating is below the lowest value of the fault
        current.
    Cannot tell: when document, marking or combination rating is not stated.
    Not covered: a combination that an engineer worked out for an existing installation; the upstream device's own
        rating, which is judged where it stands.
    """
    answer = _combination(case)
    return under(
        series_claimed(case) & is_tested(case),
        answer,
        otherwise="the panelboard is fully rated"
        if series_claimed(case).fails
        else "the series rating is declared worked out by an engineer, not tested",
    )


def _combination(case: Case) -> Answer:
    series, current = case.panelboard.series_rating, case.fault_current.at_panelboard
    document = series.tested_combination_document
    name = "combination rating of the series rating"
    notes = Notes(
        rests_on=(series.field_marked,),
        documents=(document,),
        cautions=(*kind_caution(document, "series-combination-table"), *_upstream(case)),
        remedy="submit the table that names both devices with a combination rating at or above the available fault "
        "current and mark the equipment in the field, or use fully rated breakers",
    )
    covers = combination_covers(case)
    others = series.field_marked.claim & named(document)
    if covers.fails or (covers.holds and others.holds):
        return at_least(
            Quantity(name=name, number=series.combination_rating_a),
            Quantity(name="available fault current", number=current),
            "A",
            notes,
        )
    return decide(
        covers & others,
        yes="",
        no="the equipment is not field marked with its series rating",
        unknown="whether the series rating is in order cannot be told without the document of the tested combination, "
        "its rating and the field marking",
        found=figure(name, series.combination_rating_a, "A") if series.combination_rating_a.stated else None,
        required=figure("available fault current", current, "A", ">="),
        notes=notes,
    )


def _upstream(case: Case) -> tuple[str, ...]:
    upstream = case.panelboard.series_rating.upstream_interrupting_rating_a
    if upstream.stated and reaches(upstream, case.fault_current.at_panelboard).fails:
        return (
            "The upstream device of the pair is declared with an interrupting rating below the available fault "
            "current: it must itself be rated for the current at its own line terminals.",
        )
    return ()
