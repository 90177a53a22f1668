"""The cover or trim of the cabinet."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Answer, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, arranged, decide, described, kind_caution, not_applicable, words
from changeout.rules._registry import Limits, rule


@rule(
    "cover-belongs-to-cabinet",
    group="replacement",
    about="/enclosure/cover_origin",
    stage=Stage.INSPECTION,
    needs=(
        "/work/scope",
        "/enclosure/cover_origin",
        "/panelboard/identification_document",
        "/enclosure/field_label/state",
        "/enclosure/field_label/document",
    ),
    applies_to="an interior replaced in the existing enclosure",
)
def cabinet_cover(case: Case, _limits: Limits) -> Answer:
    """The cover is the part made for the cabinet and the interior.

    Because: the cover is part of what was tested to hold back sparks; sheet metal cut on site was not.
    Passes: when it is the maker's part or the cover of the identified retrofit kit, or an altered cover is part of
        the completed work that a field label was applied to.
    Fails: when it is home-made, or altered while neither a document nor a field label stands for it.
    Cannot tell: when its origin is not stated, or an altered cover rests on a document that may not speak of it.
    """
    if not case.work.scope.among("interior-only").holds:
        return not_applicable("the work is no interior replaced in an existing enclosure", case.work.scope)
    origin = case.enclosure.cover_origin
    if origin.value == "altered":
        return _altered(case)
    document = case.panelboard.identification_document
    from_kit = origin.value == "retrofit-kit"
    return decide(
        origin.among("makers-part", "retrofit-kit"),
        yes="the cover is part of the retrofit kit" if from_kit else "the cover is the maker's part",
        no="the cover is home-made",
        unknown="not stated: where the cover comes from",
        found=words("origin of the cover", origin.value) if origin.value else None,
        notes=Notes(
            documents=(document,) if from_kit else (),
            cautions=kind_caution(document, "manufacturer-instructions", "listing-evidence") if from_kit else (),
            remedy=_REMEDY,
        ),
    )


_REMEDY = (
    "fit the cover that the maker provides for this cabinet and interior, or the one of the identified retrofit kit"
)


def _altered(case: Case) -> Answer:
    state, document = case.enclosure.field_label.state, case.panelboard.identification_document
    origin = case.enclosure.cover_origin
    if state.value == "arranged":
        return arranged(
            "the cover was altered, and the field evaluation that could accept it is arranged and not yet done",
            "the field evaluation of the completed work accepts the altered cover before the equipment is energized",
            origin,
            state,
            notes=Notes(remedy=_REMEDY),
        )
    labeled = state.among("applied")
    document_decides = Truth.UNKNOWN if document.stated else Truth.NO
    return decide(
        labeled | Claim(document_decides, document.inputs, (state.at,)),
        yes="the altered cover is part of the completed work that was field labeled",
        no="the cover was altered, and neither the maker nor a field evaluation is shown to accept that",
        unknown=f"whether {described(document.document)} accepts the altered cover is not stated"
        if document.stated
        else "not stated: whether a field evaluation accepts the altered cover",
        found=words("origin of the cover", "altered"),
        notes=Notes(
            rests_on=(origin,),
            documents=(case.enclosure.field_label.document,) if labeled.holds else (),
            cautions=("See that the evaluation report speaks of the altered cover.",) if labeled.holds else (),
            remedy=_REMEDY,
        ),
    )
