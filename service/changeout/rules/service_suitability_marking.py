"""The marking that equipment is suitable for use as service equipment."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, arranged, decide, kind_caution, under
from changeout.rules._registry import Limits, rule


@rule(
    "service-equipment-marked-suitable",
    group="service",
    about="/panelboard/marked_service_suitable",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/role",
        "/panelboard/listed",
        "/panelboard/marked_service_suitable",
        "/enclosure/field_label/state",
        "/enclosure/field_label/document",
        "/work/status",
    ),
    applies_to="service equipment",
    parameters={"listed_or": "word"},
)
def service_suitability_marking(case: Case, limits: Limits) -> Answer:
    """Service equipment is marked suitable for that use, and listed or evaluated in the field.

    Because: service equipment is built for the bond between neutral and ground and for a supply without a device ahead.
    Passes: when the panelboard is declared so marked, and is listed or the completed work has its field label.
    Fails: when it is declared not so marked, or is neither listed nor field labeled.
    Cannot tell: when the marking, or the listing in absence of a label, is not stated.
    Not covered: equipment marked suitable only as service equipment that a feeder supplies.
    """
    board, label = case.panelboard, case.enclosure.field_label
    marked, labeled = board.marked_service_suitable.claim, label.state.among("applied")
    instead = limits.word("listed_or")
    notes = Notes(
        remedy=f"use a panelboard marked suitable for use as service equipment that is listed, or have it {instead}",
        documents=(label.document,) if labeled.holds and not board.listed.claim.holds else (),
        cautions=kind_caution(label.document, "field-evaluation-report") if labeled.holds else (),
    )
    if marked.holds and board.listed.claim.fails and label.state.value == "arranged":
        answer = arranged(
            "the service equipment is marked suitable and not listed; the field label it needs instead is arranged",
            "the service equipment is evaluated and labeled in the field before it is energized",
            marked,
            board.listed,
            label.state,
            notes=notes,
        )
    else:
        answer = decide(
            marked & (board.listed.claim | labeled),
            yes=f"the panelboard is marked suitable for use as service equipment, and is listed or {instead}",
            no="the panelboard is not marked suitable for use as service equipment"
            if marked.fails
            else f"the panelboard used as service equipment is neither listed nor {instead}",
            unknown="not stated: whether the panelboard is marked suitable for use as service equipment"
            if marked.unknown
            else f"not stated: whether the panelboard used as service equipment is listed or {instead}",
            notes=notes,
        )
    return under(
        board.role.among("service"),
        answer,
        otherwise="a feeder supplies the panelboard, and this marking is asked of service equipment",
    )
