"""The field marking of a panelboard's short-circuit rating with the devices installed."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "panelboard-short-circuit-rating-field-marking",
    group="markings",
    about="/panelboard/short_circuit_rating_field_marked",
    stage=Stage.INSPECTION,
    needs=("/project/occupancy", "/panelboard/short_circuit_rating_field_marked"),
    applies_to="panelboards in other than one- and two-family dwellings",
    parameters={"exempt_occupancies": "words"},
)
def short_circuit_rating_marking(case: Case, limits: Limits) -> Answer:
    """The panelboard's short-circuit current rating, with the devices installed, is field marked on the enclosure.

    Because: the rating of the assembly is that of its weakest device, which the maker's mark cannot know.
    Passes: when the finished work is declared so marked.
    Fails: when it is declared not so marked.
    Cannot tell: when it is not stated whether it is so marked.
    Not covered: whether the marked value is right; the ratings have rules of their own.
    """
    exempt = case.project.occupancy.among(*limits.words("exempt_occupancies"))
    answer = decide(
        case.panelboard.short_circuit_rating_field_marked.claim,
        yes="the short-circuit current rating with the devices installed is field marked on the enclosure",
        no="the short-circuit current rating with the devices installed is not field marked on the enclosure",
        notes=Notes(
            remedy="mark the enclosure with the short-circuit current rating that holds with the devices in it"
        ),
    )
    return under(~exempt, answer, otherwise="panelboards of one- and two-family dwellings are exempt from this marking")
