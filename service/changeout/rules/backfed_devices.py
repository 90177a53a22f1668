"""Plug-in breakers that are fed from the field."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, merged
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.proposal import Circuit, GenerationSource
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable, under
from changeout.rules._registry import Limits, rule

_LINE_AND_LOAD = "A breaker that is marked with a line and a load side may not be fed from its load side at all."
_INTERACTIVE = (
    "The relief is for the breaker of a source that is listed as interactive, and goes dead with the utility: see the "
    "inverter's listing."
)
_REMEDY = "hold the breaker by the fastener that its maker makes for it"


@rule(
    "back-fed-device-secured",
    group="busbar-and-protection",
    about="/panelboard/circuits",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/circuits/*/breaker/backfed",
        "/panelboard/circuits/*/breaker/secured",
        "/panelboard/circuits/*/breaker/rating",
        "/generation",
        "/generation/*/kind",
        "/generation/*/breaker_rating",
        "/generation/*/connection",
    ),
    applies_to="every circuit whose breaker is fed from the field",
    parameters={"interactive_source_relief": "flag"},
)
def backfed_devices(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """Every plug-in breaker that is fed from the field is held by a fastener besides its stabs.

    Because: pulled out while its source is on, a back-fed breaker has live stabs in the hand that holds it.
    Passes: when the breaker is declared fastened; or its source can only be a photovoltaic one, whose listed
        interactive inverter goes dead with the utility, where the edition has that relief.
    Fails: when it is declared not fastened and no such relief holds.
    Cannot tell: when it is not stated whether a breaker is fed from the field, or fastened, or from which source.
        A battery that can run without the utility is left to the authority having jurisdiction.
    Not covered: a main that plugs in, and the marking of a breaker's line and load side.
    """
    circuits = case.panelboard.circuits
    if not circuits.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the circuits, and whether breakers fed from the field are fastened.",
            missing=circuits.missing,
        )
    if not circuits.items:
        return not_applicable("the panelboard has no circuits", circuits)
    return [_circuit(case, circuit, relief=limits.flag("interactive_source_relief")) for circuit in circuits]


def _circuit(case: Case, circuit: Circuit, *, relief: bool) -> Answer:
    breaker, sources = circuit.breaker, case.proposal.generation
    backfed = breaker.backfed.claim
    if backfed.unknown and sources.stated and not sources.items:
        return not_applicable("no source feeds the panelboard besides its supply", sources, subject=circuit.at)
    fed_by = _sources_of(case, circuit)
    kinds = {source.kind.value for source in fed_by}
    if backfed.holds and not breaker.secured.claim.holds and kinds == {"battery"}:
        return advise(
            "the breaker of the battery is not shown to be fastened; whether a battery that can run without the "
            "utility has the relief of interactive sources is for the authority having jurisdiction",
            breaker.backfed,
            breaker.secured,
            notes=Notes(subject=circuit.at, remedy=_REMEDY, advice=Advice.READING),
            missing=breaker.secured.missing,
        )
    relieved = _only_photovoltaic(case, fed_by) if relief else Claim(Truth.NO)
    secured = breaker.secured.claim
    answer = decide(
        secured | relieved,
        yes="the breaker fed from the field is declared fastened"
        if secured.holds
        else "the breaker fed from the field belongs to an interactive source, which needs no fastener",
        no="the breaker is fed from the field and declared not fastened",
        unknown="not stated: whether the breaker fed from the field is fastened, or which source feeds it",
        notes=Notes(
            subject=circuit.at,
            remedy=_REMEDY,
            cautions=(_LINE_AND_LOAD,) if secured.holds else (_INTERACTIVE, _LINE_AND_LOAD),
        ),
    )
    return under(backfed, answer, otherwise="the breaker is not fed from the field")


def _sources_of(case: Case, circuit: Circuit) -> tuple[GenerationSource, ...]:
    """Return the sources that the circuit's breaker can belong to: those of its rating, else all on the load side."""
    on_busbar = [s for s in case.proposal.generation if not s.connection.among("supply-side").holds]
    rating = circuit.breaker.rating_a.value
    alike = [s for s in on_busbar if rating is None or s.breaker_rating_a.value in {rating, None}]
    return tuple(alike or on_busbar)


def _only_photovoltaic(case: Case, fed_by: tuple[GenerationSource, ...]) -> Claim:
    """Return the claim that the source is photovoltaic: unknown where kinds differ, or nobody has said."""
    sources = case.proposal.generation
    if not sources.stated:
        return Claim(Truth.UNKNOWN, sources.inputs, sources.missing)
    each = [source.kind.among("pv") for source in fed_by]
    inputs = merged(sources.inputs, *(claim.inputs for claim in each))
    if each and all(claim.holds for claim in each):
        return Claim(Truth.YES, inputs)
    if all(claim.fails for claim in each):
        return Claim(Truth.NO, inputs)
    missing = merged(*(merged(s.kind.missing, s.breaker_rating_a.missing) for s in fed_by))
    return Claim(Truth.UNKNOWN, inputs, missing)
