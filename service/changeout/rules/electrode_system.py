"""The electrodes of a service or a separate building."""

from __future__ import annotations

from changeout.domain.facts import Choices, Claim, certain, fixed, merged
from changeout.domain.findings import Advice, Answer, Figure, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, amount, decide, figure, under, within, words
from changeout.rules._registry import Limits, rule

_COMPLETE = ("concrete-encased", "structural-metal", "ground-ring")
"""Electrodes that need no other beside them, and that are other enough beside a water pipe."""

_MADE = ("ground-rod", "second-ground-rod", "plate")
"""Rods and plates: a single one needs proof of its resistance or another electrode."""


@rule(
    "grounding-electrode-system-complete",
    group="grounding-and-bonding",
    about="/grounding/electrodes",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/role",
        "/supply/separate_building",
        "/grounding/electrodes",
        "/grounding/electrodes_not_connected",
        "/grounding/rod_resistance",
    ),
    applies_to="services, and feeder panelboards of separate buildings",
    parameters={"single_rod_max_ohm": "number"},
)
def electrode_system(case: Case, limits: Limits) -> Answer:
    """All electrodes that are present are used together, and none that needs another beside it stands alone.

    Because: a water pipe becomes plastic with the next repair, and a single dry rod is hardly earth at all.
    Passes: when no electrode is left out, and among those used is one in concrete, of the structure or a ring; or two
        rods or plates; or one that is shown to have no more than the edition's resistance.
    Fails: when there is none, a water pipe alone, a single rod or plate shown to be over that resistance, or one that
        is present and left out.
    Cannot tell: when the electrodes, those left out, or the resistance of a single rod or plate is not stated.
        Reinforcement in existing concrete that is left out gets advice.
    Not covered: how the electrodes are joined, and whether a pipe or a structure is long and bare enough to be one.
    """
    service = case.panelboard.role.among("service")
    trigger = service | case.supply.separate_building.claim
    return under(
        trigger,
        _electrodes(case, limits.number("single_rod_max_ohm")),
        otherwise="a feeder supplies the panelboard in the building of its service: the electrodes belong there",
    )


def _electrodes(case: Case, most_ohm: float) -> Answer:
    used, left_out = case.grounding.electrodes, case.grounding.electrodes_not_connected
    complete = _enough(case, most_ohm)
    all_used = _none_left_out(left_out)
    if left_out.values == ("concrete-encased",) and not complete.fails:
        return advise(
            "an electrode in the concrete is present and not connected; in an existing building that is in order only "
            "where it cannot be reached without breaking concrete",
            left_out,
            used,
            notes=Notes(remedy="connect it, or show that it cannot be reached", advice=Advice.READING),
        )
    names = _listed(used)
    return decide(
        complete & all_used,
        yes=f"the electrodes in use ({names}) need no other beside them, and none is left out",
        no=f"of the electrodes present, these are not connected: {_listed(left_out)}"
        if all_used.fails
        else _why_not(case, most_ohm),
        unknown=_open(case, complete, most_ohm),
        found=_found(case),
        required=figure("resistance of a single rod or plate", fixed(most_ohm), "ohm", "<=")
        if _resistance_decides(case)
        else None,
        notes=Notes(remedy="connect every electrode that is present, and add a second rod or another electrode"),
    )


def _enough(case: Case, most_ohm: float) -> Claim:
    used, resistance = case.grounding.electrodes, case.grounding.rod_resistance_ohm
    if used.values is None:
        return Claim(Truth.UNKNOWN, used.inputs, used.missing)
    if used.includes(*_COMPLETE).holds or _made(used) > 1:
        return Claim(Truth.YES, used.inputs)
    if _made(used) == 1:
        low = within(resistance, most_ohm)
        return Claim(low.truth, merged(used.inputs, low.inputs), low.missing)
    return Claim(Truth.NO, used.inputs)


def _none_left_out(left_out: Choices) -> Claim:
    if left_out.values is None:
        return Claim(Truth.UNKNOWN, left_out.inputs, left_out.missing)
    return certain(not left_out.values, left_out)


def _made(used: Choices) -> int:
    return sum(1 for electrode in _MADE if electrode in (used.values or ()))


def _why_not(case: Case, most_ohm: float) -> str:
    used = case.grounding.electrodes
    if not used.values:
        return "there is no grounding electrode"
    if _made(used):
        return f"the single rod or plate has {_ohm(case)}, more than {amount(most_ohm, 'ohm')}, and no other beside it"
    return "a water pipe is the only electrode, which needs another beside it"


def _open(case: Case, complete: Claim, most_ohm: float) -> str:
    if complete.holds:
        return "not stated: whether an electrode is present that is not connected"
    if not case.grounding.electrodes.stated:
        return "not stated: which electrodes there are"
    return (
        f"a single rod or plate needs another electrode beside it unless its resistance is shown to be no more than "
        f"{amount(most_ohm, 'ohm')}, and that is not stated"
    )


def _resistance_decides(case: Case) -> bool:
    used = case.grounding.electrodes
    alone = _made(used) == 1 and not used.includes(*_COMPLETE).holds
    return alone and case.grounding.rod_resistance_ohm.stated


def _found(case: Case) -> Figure | None:
    used = case.grounding.electrodes
    if _resistance_decides(case):
        return figure("resistance of the single rod or plate", case.grounding.rod_resistance_ohm, "ohm")
    return words("electrodes", _listed(used)) if used.stated else None


def _ohm(case: Case) -> str:
    return amount(case.grounding.rod_resistance_ohm.low, "ohm")


def _listed(electrodes: Choices) -> str:
    return ", ".join(electrodes.values or ()) or "none"
