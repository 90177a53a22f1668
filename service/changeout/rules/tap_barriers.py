"""Barriers where feeder taps or a transformer's secondary conductors supply a panelboard."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Answer, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, not_applicable, under
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import own_source


@rule(
    "barriers-where-fed-by-tap-or-transformer",
    group="service",
    about="/service/line_side_barriers",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/role",
        "/supply/separately_derived",
        "/supply/tap",
        "/supply/tap_rule",
        "/service/line_side_barriers",
    ),
    applies_to="feeder panelboards supplied by feeder taps or a transformer's secondary conductors",
)
def tap_barriers(case: Case, _limits: Limits) -> Answer:
    """Barriers cover what stays live with its disconnect open, where taps or transformer secondaries supply it.

    Because: such conductors often have no disconnect of their own: what they reach stays live with the main off.
    Passes: when the barriers are declared to be in place.
    Fails: when the panelboard is so supplied and they are declared missing.
    Cannot tell: when it is not stated whether feeder taps supply the panelboard, or whether the barriers are there.
        Where a rule for taps or for secondary conductors is claimed, they do.
    """
    role, supply = case.panelboard.role.among("feeder"), case.supply
    if role.fails:
        return not_applicable("the panelboard is service equipment, whose barriers have a rule of their own", role)
    fed = own_source(supply) | supply.tap.claim
    if supply.tap_rule.stated:
        fed |= Claim(Truth.YES, supply.tap_rule.inputs)
    answer = decide(
        case.service.line_side_barriers.claim,
        yes="barriers cover the parts that stay live with the panelboard's disconnect open",
        no="no barriers cover the parts that stay live with the panelboard's disconnect open, and feeder taps or a "
        "transformer's secondary conductors supply it",
        unknown="not stated: whether barriers cover the parts that stay live with the panelboard's disconnect open",
        notes=Notes(remedy="install barriers over the line-side parts that stay live"),
    )
    return under(
        role & fed,
        answer,
        otherwise="neither feeder taps nor a transformer's secondary conductors supply the panelboard",
    )
