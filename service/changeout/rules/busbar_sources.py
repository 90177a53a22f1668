"""Other sources of power on the busbar: whether one of the permitted sums holds, and where the sources must stand."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim
from changeout.domain.findings import Advice, Answer, Basis, Judgement, Stage
from changeout.domain.proposal import GenerationSource
from changeout.electrical.busbar import PermittedSum, at_opposite_end
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, figure, not_applicable, spread, under, within, words
from changeout.rules._registry import Limits, rule
from changeout.rules._sources import (
    SUM_PARAMETERS,
    any_on_busbar,
    behind_transfer,
    busbar_sums,
    is_on_busbar,
    one_sum_holds,
    sources_on_busbar,
    sum_holds,
)
from changeout.rules._supply import DEVICE_NEEDS

_NEEDS = (
    "/generation",
    "/generation/*/kind",
    "/generation/*/output_current",
    "/generation/*/breaker_rating",
    "/generation/*/position",
    "/generation/*/connection",
    "/panelboard/busbar_rating",
    "/panelboard/center_fed",
    "/panelboard/subfeed_lugs",
    "/panelboard/feed_through_lugs",
    "/panelboard/circuits/*/breaker/rating",
    "/panelboard/circuits/*/breaker/backfed",
    "/service/transfer_equipment",
    "/project/occupancy",
    *DEVICE_NEEDS,
)
_FAR_END = ("120-percent", "center-fed")
_WITH_DEVICE = "outputs of the other sources, raised, and the device that protects the busbar"
_NAMES = {
    "sum": _WITH_DEVICE,
    "120-percent": _WITH_DEVICE,
    "center-fed": _WITH_DEVICE,
    "sum-of-breakers": "breakers of loads and sources on the busbar",
}
_PLACES = {
    "sum": "with sources anywhere",
    "120-percent": "with the source at the end opposite the supply",
    "center-fed": "with the source at one end of a busbar fed at its center",
    "sum-of-breakers": "for all its breakers",
}
_BREAKERS = (
    "Only the sum of all breakers holds: a label at the panelboard says so, and every breaker added later counts."
)
_FED_THROUGH = "Another panelboard is fed from this one: its busbar counts as well, by a sum of its own."
_CENTER = "A busbar fed at its center has a sum of its own in dwellings: declare it where that is so."
_ENGINEERED = (
    "An engineering study is among the documents: where it answers for this busbar, the authority having jurisdiction "
    "may accept it."
)


@rule(
    "interconnected-source-busbar-rule",
    group="other-sources",
    about="/panelboard/busbar_rating",
    stage=Stage.INTAKE,
    needs=_NEEDS,
    applies_to="panelboards with another source of power on their busbar",
    parameters=SUM_PARAMETERS,
)
def busbar_sum(case: Case, limits: Limits) -> Answer:
    """With other sources on the busbar at least one of the sums holds that the code permits.

    Because: two sources together can overload a busbar that no single breaker protects.
    Passes: when the outputs of the sources, raised by the edition's factor, and the device that protects the busbar
        add up to its rating or less; or to the edition's part above it, with the source at the end opposite the
        supply, or, in a dwelling, at one end of a busbar fed at its center; or when all breakers of loads and sources
        add up to its rating or less.
    Fails: when none of these holds.
    Cannot tell: when an output current, a position, a connection, a breaker or a rating is not stated and the sums
        differ by it, or whether there are other sources. Where only the far-end sum holds, several sources at that
        end get advice, since the words name one, and so does a busbar fed at its center in other than a dwelling.
    Not covered: an arrangement that an engineer answers for and a listed control system that limits the current,
        which must be shown; the busbars of panelboards fed from this one. A generator behind listed transfer
        equipment is not on the busbar with the supply.
    """
    sums = busbar_sums(case, limits, sources_on_busbar(case))
    claim = one_sum_holds(sums)
    if behind_transfer(case).unknown:
        claim |= behind_transfer(case) & one_sum_holds(
            busbar_sums(case, limits, sources_on_busbar(case, transfer_listed=True))
        )
    return under(
        any_on_busbar(case),
        _by_reading(case, sums, claim) or _decided(case, sums, claim),
        otherwise="no other source of power is connected to the busbar",
    )


@rule(
    "interconnected-source-breaker-position-and-label",
    group="other-sources",
    about="/generation",
    stage=Stage.INTAKE,
    needs=(*_NEEDS, "/generation/*/relocation_label"),
    applies_to="sources on a busbar for which only the sum with the source at the far end holds",
    parameters=SUM_PARAMETERS,
)
def position_and_label(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """Where only the sum with the source at the far end holds, its breaker stands there and a label forbids moving it.

    Because: moved next to the main, the same breaker overloads the busbar between them.
    Passes: when the breaker is at the end opposite the supply and labeled against being moved.
    Fails: when it is elsewhere, or not labeled.
    Cannot tell: when position or label is not stated, or what makes that sum needed is not.
    Not covered: a busbar fed at its center, whose sum asks for no such label.
    """
    sources = sources_on_busbar(case)
    if not sources.stated:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: whether there is another source of power, and where its breaker stands.",
            inputs=sources.inputs,
            missing=sources.missing,
        )
    center = case.panelboard.center_fed
    if center.claim.holds:
        return not_applicable("the busbar is fed at its center: there is no end opposite the supply", center)
    sums = {s.rule: s for s in busbar_sums(case, limits, sources)}
    anywhere = sum_holds(sums["sum"]) | sum_holds(sums["sum-of-breakers"])
    far_end = sums["120-percent"]
    reason = (
        "a sum holds that any position of the source allows"
        if anywhere.holds
        else "the sum with the source at the far end does not hold either: the rule on the sums answers"
    )
    needed = ~anywhere & within(far_end.total, far_end.limit)
    found = [_source(case, source, needed, reason) for source in sources]
    return found or not_applicable("no other source of power is connected to the busbar", sources)


def _source(case: Case, source: GenerationSource, needed: Claim, reason: str) -> Answer:
    placed, labeled = source.position.among("opposite-end"), source.relocation_label.claim
    where = {"opposite-end": "at the end of the busbar opposite the supply", "other": "elsewhere on the busbar"}
    by_label = placed.holds and labeled.fails
    answer = decide(
        placed & labeled,
        yes="the breaker of the source is at the end of the busbar opposite the supply and labeled against being moved",
        no="the breaker of the source is not at the end of the busbar opposite the supply"
        if placed.fails
        else "the breaker of the source has no label against being moved",
        unknown="not stated: whether the breaker of the source is at the end of the busbar opposite the supply, and "
        "labeled against being moved",
        found=words("label against being moved", "none")
        if by_label
        else words("position", where[source.position.value])
        if source.position.value is not None
        else None,
        required=words("label against being moved", "present", "=")
        if by_label
        else words("position", where["opposite-end"], "="),
        notes=Notes(
            subject=source.at,
            remedy="put the breaker of the source at the far end of the busbar and label it: not to be moved",
        ),
    )
    on_it = is_on_busbar(case, source)
    return under(
        on_it & needed, answer, otherwise=reason if not on_it.fails else "the source is not connected to the busbar"
    )


def _by_reading(case: Case, sums: Sequence[PermittedSum], claim: Claim) -> Answer | None:
    """Answer where all depends on how the words of the far-end sum are read; else nothing."""
    far_end = next(s for s in sums if s.rule in _FAR_END)
    notes = Notes(cautions=_cautions(case, sums), advice=Advice.READING, remedy="ask the authority having jurisdiction")
    if claim.unknown and not claim.missing:
        return advise(
            "the sum with the source at the far end holds, and several sources stand there: the words name one source "
            "besides the supply, and whether several at that end count as one is for the authority having jurisdiction",
            claim,
            notes=notes,
        )
    fits = within(far_end.total, far_end.limit) & at_opposite_end(sources_on_busbar(case))
    if far_end.rule == "center-fed" and claim.fails and fits.holds:
        return advise(
            "the sum holds that a busbar fed at its center has in dwellings; whether it counts in other occupancies is "
            "for the authority having jurisdiction",
            claim,
            fits,
            case.panelboard.center_fed,
            notes=notes,
        )
    return None


def _deciding(sums: Sequence[PermittedSum]) -> PermittedSum:
    """Return the sum to show: the first that holds, else the far-end sum where the sources stand for it."""
    for found in sums:
        if sum_holds(found).holds:
            return found
    far_end = next(s for s in sums if s.rule in _FAR_END)
    return sums[0] if far_end.placed.fails else far_end


def _decided(case: Case, sums: Sequence[PermittedSum], claim: Claim) -> Answer:
    shown = _deciding(sums)
    total, limit = f"{_NAMES[shown.rule]} ({spread(shown.total, 'A')})", spread(shown.limit, "A")
    where = _PLACES[shown.rule]
    return decide(
        claim,
        yes=f"the {total} add up to no more than the busbar allows {where} ({limit})",
        no=f"none of the permitted sums holds: the {total} add up to more than the busbar allows {where} ({limit})",
        unknown="whether one of the permitted sums holds on the busbar with its other sources cannot be told from what "
        "is stated",
        found=figure(f"sum of {_NAMES[shown.rule]}", shown.total, "A"),
        required=figure(f"current that the busbar allows {where}", shown.limit, "A", "<="),
        notes=Notes(
            remedy="use a panelboard with a higher busbar rating, a smaller main, less output, or place the source at "
            "the end of the busbar opposite the supply",
            cautions=_cautions(case, sums),
            basis=Basis.COMPUTED,
        ),
    )


def _cautions(case: Case, sums: Sequence[PermittedSum]) -> tuple[str, ...]:
    panelboard, one = case.panelboard, one_sum_holds(sums)
    found = []
    if [s.rule for s in sums if sum_holds(s).holds] == ["sum-of-breakers"]:
        found.append(_BREAKERS)
    if panelboard.subfeed_lugs.claim.holds or panelboard.feed_through_lugs.claim.holds:
        found.append(_FED_THROUGH)
    if one.fails and not panelboard.center_fed.stated:
        found.append(_CENTER)
    if one.fails and any(d.kind.value == "engineering-study" for d in case.proposal.documents):
        found.append(_ENGINEERED)
    return tuple(found)
