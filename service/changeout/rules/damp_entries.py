"""Raceways that enter above live parts in a damp or wet place."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "damp-or-wet-entry-above-live-parts",
    group="environment",
    about="/enclosure/top_entries_wet_listed",
    stage=Stage.INSPECTION,
    needs=("/location/conditions", "/enclosure/top_entries_wet_listed"),
    applies_to="a place that is declared damp or wet, or whose conditions are not stated",
)
def damp_entries(case: Case, _limits: Limits) -> Answer:
    """In a damp or wet place, entries above live parts use fittings listed for wet locations.

    Because: water runs down a raceway into the box and onto whatever is below.
    Passes: when such entries are declared to be listed for wet locations.
    Fails: when the place is declared wet and they are declared not to be; in a damp place that is said as advice.
    Cannot tell: when the fittings or the conditions are not stated.
    """
    listed, conditions = case.enclosure.top_entries_wet_listed, case.location.conditions
    notes = Notes(
        remedy="use fittings listed for wet locations above live parts, or enter from the side or from below",
        cautions=("See that water drains away from the entries.",) if conditions.includes("damp", "wet").holds else (),
    )
    if listed.claim.fails and conditions.includes("damp").holds and conditions.includes("wet").fails:
        return advise(
            "raceways enter above live parts in a damp place without fittings listed for wet locations",
            listed,
            conditions,
            notes=notes,
        )
    answer = decide(
        listed.claim,
        yes="entries above live parts are declared to have fittings listed for wet locations",
        no="raceways enter above live parts without fittings listed for wet locations",
        unknown="not stated: whether entries above live parts have fittings listed for wet locations",
        notes=notes,
    )
    return under(
        conditions.includes("damp", "wet"),
        answer,
        otherwise="the place is declared neither damp nor wet",
    )
