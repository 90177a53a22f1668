"""The outdoor disconnect of a dwelling's service."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, certain
from changeout.domain.findings import Answer, Stage
from changeout.domain.occupancy import one_or_two_family
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, not_applicable, under
from changeout.rules._registry import Limits, rule


@rule(
    "dwelling-service-disconnect-outdoors",
    group="service",
    about="/service/emergency_disconnect",
    stage=Stage.INTAKE,
    needs=(
        "/project/occupancy",
        "/panelboard/role",
        "/panelboard/main/kind",
        "/service/emergency_disconnect",
        "/service/emergency_disconnect_is",
        "/location/room",
        "/work/items",
    ),
    applies_to="services of one- and two-family dwellings",
    parameters={
        "replacement_clause": "flag",
        "not_triggered_by_only": "words",
        "service_disconnect_itself_outdoors": "flag",
    },
)
def dwelling_service_disconnect(case: Case, limits: Limits) -> Answer:
    """A one- or two-family dwelling's service can be shut off by a readily accessible disconnect outdoors.

    Because: fire crews need a shut-off they can reach without entering.
    Passes: when an outdoor disconnect is declared, or the panelboard with its main stands outdoors itself; where the
        edition wants the service disconnect itself outdoors, when it is declared to be that.
    Fails: when there is none and the edition's words reach this work.
    Cannot tell: when it is not stated whether there is one, or, where that counts, whether it is the service
        disconnect, or which parts of the service are replaced.
    Not covered: its marking, which has a rule of its own.
    """
    items, role = case.work.items, case.panelboard.role.among("service")
    dwelling = one_or_two_family(case.project)
    if role.fails:
        return not_applicable("a feeder supplies the panelboard, and this is asked of services", role)
    called = _called_for(case, limits.words("not_triggered_by_only"))
    if called.fails:
        return not_applicable(
            "only parts of the service are replaced that do not call for an outdoor disconnect", items
        )
    return under(
        dwelling & role & called,
        _outdoors(case, limits),
        otherwise="the outdoor disconnect is asked of one- and two-family dwellings",
    )


def _called_for(case: Case, spared: Sequence[str]) -> Claim:
    """Return the claim that more is replaced than what the edition spares where it is replaced alone."""
    items = case.work.items
    if not items.stated and spared:
        return Claim(Truth.UNKNOWN, items.inputs, items.missing)
    return certain(not items.values or any(item not in spared for item in items.values), items)


def _outdoors(case: Case, limits: Limits) -> Answer:
    service = case.service
    itself = case.location.room.among("outdoors") & case.panelboard.main.kind.among("breaker", "fusible")
    ahead = service.emergency_disconnect.among("outdoor-marked", "outdoor-unmarked")
    no = "there is no disconnect outdoors that shuts off the dwelling"
    strict = limits.flag("service_disconnect_itself_outdoors")
    if strict and not ahead.fails:
        ahead &= service.emergency_disconnect_is.among("service-disconnect")
        no = (
            "the disconnect outdoors is not the service disconnect, and it is the service disconnect that belongs there"
        )
    if not limits.flag("replacement_clause"):
        no += "; the edition does not say that a replacement calls for one, and authorities differ"
    unmarked = service.emergency_disconnect.value == "outdoor-unmarked"
    return decide(
        itself | ahead,
        yes="the service panelboard with its main stands outdoors"
        if itself.holds
        else "a disconnect outdoors shuts off the dwelling",
        no=no,
        unknown="whether a disconnect outdoors shuts off the dwelling is not stated"
        if not service.emergency_disconnect.stated
        else "whether the disconnect outdoors is the service disconnect is not stated",
        notes=Notes(
            remedy="provide a readily accessible disconnect outdoors, on or within sight of the dwelling, and mark it",
            cautions=("It is declared unmarked; its marking is judged by a rule of its own.",) if unmarked else (),
        ),
    )
