"""A series rating that an engineer worked out for an existing installation."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_least, decide, under
from changeout.rules._registry import Limits, rule
from changeout.rules._series import (
    combination_covers,
    engineering_study,
    existing_installation,
    is_tested,
    series_claimed,
)


@rule(
    "series-combination-engineered-existing",
    group="ratings",
    about="/panelboard/series_rating",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/rating_basis",
        "/panelboard/series_rating/basis",
        "/panelboard/series_rating/tested_combination_document",
        "/work/scope",
        "/documents",
        "/panelboard/series_rating/field_marked",
        "/panelboard/series_rating/combination_rating",
        "calculation:fault-current",
    ),
    applies_to="a panelboard whose rating rests on a series combination worked out by an engineer",
)
def engineered_series_rating(case: Case, _limits: Limits) -> Answer:
    """An engineered series rating belongs to an existing installation, has its study on file, and is marked.

    Because: no test stands behind it, so a licensed professional must, and only for what cannot be changed.
    Passes: when the interior is replaced in an existing enclosure, an engineering study is among the documents, the
        equipment is field marked, and the combination rating covers the available fault current.
    Fails: when it is used for a new installation, the marking is declared missing, or the combination rating is below
        the fault current.
    Cannot tell: when study, marking, combination rating or the basis of the series rating is not stated.
    Not covered: whether the professional is licensed; the authority having jurisdiction accepts the study.
    """
    tested = is_tested(case)
    return under(
        series_claimed(case) & ~tested,
        _study(case),
        otherwise="the panelboard is fully rated"
        if series_claimed(case).fails
        else "the series rating is a tested one",
    )


_PASSIVE = (
    "The breakers downstream must stay shut while the line-side device clears; if they open, no calculation saves the "
    "combination."
)
_EXISTING = (
    "Whether a replaced interior leaves an existing installation is for the authority having jurisdiction to say."
)


def _study(case: Case) -> Answer:
    series = case.panelboard.series_rating
    existing, study, marked = existing_installation(case), engineering_study(case), series.field_marked.claim
    covers = combination_covers(case)
    offered = [d for d in case.proposal.documents if d.kind.value == "engineering-study"]
    notes = Notes(
        rests_on=(case.work.scope, series.field_marked),
        cautions=(_PASSIVE, *((_EXISTING,) if existing.holds else ())),
        remedy="use fully rated breakers or a tested combination; in an existing installation, submit the sealed study "
        "and mark the equipment in the field",
    )
    in_order = existing & study & marked
    if covers.fails and not in_order.fails:
        return at_least(
            Quantity(name="combination rating of the series rating", number=series.combination_rating_a),
            Quantity(name="available fault current", number=case.fault_current.at_panelboard),
            "A",
            notes,
        )
    return decide(
        in_order & covers,
        yes=f"the engineered series rating of an existing installation is marked and has its study ({offered[0].id})"
        if offered
        else "",
        no="the series rating worked out by an engineer is used for a new installation"
        if existing.fails
        else "the equipment is not field marked with its engineered series rating",
        unknown="whether the engineered series rating is in order cannot be told without the engineer's study, the "
        "combination rating and the field marking",
        notes=notes,
    )
