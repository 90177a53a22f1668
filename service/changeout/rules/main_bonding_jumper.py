"""The main bonding jumper of a service panelboard."""

from __future__ import annotations

from dataclasses import replace

from changeout.domain.facts import Claim, merged
from changeout.domain.findings import Answer, Judgement, Stage
from changeout.domain.truth import Truth
from changeout.electrical.grounding import bonding_jumper, supply_conductors
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, not_applicable, under, words
from changeout.rules._grounding import large_enough
from changeout.rules._registry import Limits, rule

_MAKERS_PARTS = ("screw", "strap")
_REMEDY = (
    "install the bonding screw or strap that the maker of the listed panelboard supplies, or a jumper of the size "
    "required"
)


@rule(
    "main-bonding-jumper-present-and-sized",
    group="grounding-and-bonding",
    about="/grounding/main_bonding_jumper",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/role",
        "/panelboard/listed",
        "/grounding/main_bonding_jumper/kind",
        "/grounding/main_bonding_jumper/size",
        "/grounding/main_bonding_jumper/material",
        "/supply/runs/*/size",
        "/supply/runs/*/sets",
        "/supply/runs/*/material",
    ),
    applies_to="service panelboards",
    parameters={"percent_over_table_percent": "number"},
)
def main_bonding_jumper(case: Case, limits: Limits) -> Answer:
    """A service panelboard has a main bonding jumper that is large enough for the service conductors.

    Because: without it a fault from a line to metal never trips anything, and the metal stays live.
    Passes: when it is the maker's screw or strap of a listed panelboard, or a wire or bus of at least the table's size
        (above the table: the edition's percent of the area of the service conductors).
    Fails: when there is none, or it is smaller.
    Cannot tell: when its kind is not stated; or the size of a wire or bus, the service conductors or the listing of
        the panelboard are not and decide.
    Not covered: where the jumper sits when there are several service disconnects.
    """
    role = case.panelboard.role.among("service")
    if role.fails:
        return not_applicable("a feeder supplies the panelboard, and neutral and enclosure are kept apart in it", role)
    return under(role, _jumper(case, limits), otherwise="the panelboard is no service panelboard")


def _jumper(case: Case, limits: Limits) -> Answer:
    jumper, listed = case.grounding.main_bonding_jumper, case.panelboard.listed.claim
    kind = jumper.kind
    if kind.value == "none":
        return decide(
            ~kind.among("none"),
            yes="",
            no="there is no main bonding jumper in the service panelboard",
            found=words("main bonding jumper", "none"),
            required=words("main bonding jumper", "present", "="),
            notes=Notes(remedy=_REMEDY),
        )
    by_size = _by_size(case, limits)
    if kind.value in _MAKERS_PARTS:
        return _makers_part(case, by_size, listed)
    if kind.stated or by_size.judgement is Judgement.HOLDS:
        return by_size
    return replace(
        by_size,
        judgement=Judgement.UNKNOWN,
        message="Not stated: whether the service panelboard has a main bonding jumper, and of which kind.",
        missing=kind.missing,
        remedies=(),
    )


def _makers_part(case: Case, by_size: Answer, listed: Claim) -> Answer:
    jumper = case.grounding.main_bonding_jumper
    if not listed.holds and jumper.size.stated:
        return by_size
    claim = listed
    if listed.fails:
        claim = Claim(Truth.UNKNOWN, merged(listed.inputs, jumper.size.inputs), jumper.size.missing)
    part = f"the {jumper.kind.value} that the maker supplies"
    return decide(
        claim & jumper.kind.among(*_MAKERS_PARTS),
        yes=f"the main bonding jumper is {part} with the listed panelboard",
        no="",
        unknown=f"the main bonding jumper is {part}; not stated: that the panelboard is listed with it, or its size",
        found=words("main bonding jumper", jumper.kind.value or ""),
        required=words("main bonding jumper", "the maker's part of a listed panelboard, or of the size required", "="),
        notes=Notes(
            cautions=("The screw or strap must be fitted: in new panelboards it often lies in a bag.",)
            if listed.holds
            else ()
        ),
    )


def _by_size(case: Case, limits: Limits) -> Answer:
    jumper, runs = case.grounding.main_bonding_jumper, case.supply.runs
    required = bonding_jumper(supply_conductors(runs), jumper.material, limits.number("percent_over_table_percent"))
    return large_enough("main bonding jumper", jumper, required, Notes(rests_on=(jumper.kind,), remedy=_REMEDY))
