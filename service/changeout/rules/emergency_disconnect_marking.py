"""The marking of a dwelling's outdoor disconnect."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Advice, Answer, Stage
from changeout.domain.occupancy import one_or_two_family
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, amount, bare, decide, not_applicable, under
from changeout.rules._registry import Limits, rule

_ROLES = ("service-disconnect", "meter-disconnect", "other")


@rule(
    "emergency-disconnect-marking",
    group="service",
    about="/service/emergency_disconnect_marking",
    stage=Stage.INSPECTION,
    needs=(
        "/project/occupancy",
        "/panelboard/role",
        "/panelboard/main/kind",
        "/supply/separate_building",
        "/location/room",
        "/service/emergency_disconnect",
        "/service/emergency_disconnect_is",
        "/service/emergency_disconnect_marking",
    ),
    applies_to="outdoor disconnects of one- and two-family dwellings",
    parameters={"words": "word", "wordings": "words", "lettering": "word?", "letter_height_in": "number?"},
)
def emergency_disconnect_marking(case: Case, limits: Limits) -> Answer:
    """The outdoor disconnect of a one- or two-family dwelling is marked with the words that the edition wants.

    Because: a shut-off that cannot be told from a meter box or an air conditioner's switch is not found in smoke.
    Passes: when it is declared marked and its words, where stated, are those for what it is.
    Fails: when it is declared unmarked.
    Cannot tell: when it is not stated whether there is an outdoor disconnect or whether it is marked. One declared
        marked in other words than the edition's gets advice.
    Not covered: colours, size and permanence of the marking, which are seen on site.
    """
    service, role = case.service, case.panelboard.role
    dwelling = one_or_two_family(case.project)
    if dwelling.fails:
        return not_applicable(
            "the outdoor disconnect and its marking are asked of one- and two-family dwellings", dwelling
        )
    given = service.emergency_disconnect
    if role.among("feeder").holds and case.supply.separate_building.claim.fails and not given.stated:
        return not_applicable("no outdoor disconnect is declared or asked for at this feeder panelboard", role)
    itself = (
        role.among("service")
        & case.location.room.among("outdoors")
        & case.panelboard.main.kind.among("breaker", "fusible")
    )
    outdoors = given.among("outdoor-marked", "outdoor-unmarked")
    return under(
        dwelling & (outdoors | itself if outdoors.fails else outdoors),
        _marking(case, limits),
        otherwise="there is no outdoor disconnect to be marked",
    )


def _marking(case: Case, limits: Limits) -> Answer:
    given, text = case.service.emergency_disconnect, case.service.emergency_disconnect_marking
    notes = Notes(remedy=f"mark the disconnect with the words {_wanted(case, limits)}", cautions=_looks(limits))
    if text.value is None or given.value != "outdoor-marked":
        marked = given.among("outdoor-marked")
        if given.value == "none":
            marked = Claim(Truth.UNKNOWN, given.inputs, given.inputs)
        return decide(
            marked,
            yes="the outdoor disconnect is marked",
            no="the outdoor disconnect is not marked",
            unknown="not stated: whether the outdoor disconnect is marked as the edition wants",
            notes=notes,
        )
    said, allowed = bare(text.value), _allowed(case, limits)
    kind = case.service.emergency_disconnect_is
    if bare(limits.word("words")) in said and (not allowed or said in allowed):
        return decide(
            given.among("outdoor-marked"),
            yes="the outdoor disconnect is marked in the words that the edition gives for it",
            no="the outdoor disconnect is not marked",
            notes=Notes(rests_on=(text, kind) if kind.stated else (text,), cautions=notes.cautions),
        )
    return advise(
        "the outdoor disconnect is declared marked, in other words than the edition gives for what it is",
        given,
        text,
        notes=Notes(remedy=notes.remedy, cautions=notes.cautions, advice=Advice.READING),
    )


def _allowed(case: Case, limits: Limits) -> list[str]:
    """Return the wordings for what the disconnect is, compared as ``bare``; none where only the first words count."""
    wordings, kind = limits.words("wordings"), case.service.emergency_disconnect_is.value
    if not wordings or not case.panelboard.role.among("service").holds:
        return []
    return [bare(w) for w in (wordings if kind is None else (wordings[_ROLES.index(kind)],))]


def _wanted(case: Case, limits: Limits) -> str:
    wordings, kind = limits.words("wordings"), case.service.emergency_disconnect_is.value
    if wordings and kind is not None and case.panelboard.role.among("service").holds:
        return wordings[_ROLES.index(kind)]
    return limits.word("words") + (" and what it is" if wordings else "")


def _looks(limits: Limits) -> tuple[str, ...]:
    if "lettering" not in limits.values:
        return ()
    height = amount(limits.number("letter_height_in"), "in")
    return (f"The marking has {limits.word('lettering')}, at least {height} high: to be seen at inspection.",)
