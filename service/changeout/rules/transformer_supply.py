"""A panelboard behind a transformer."""

from __future__ import annotations

from typing import Final

from changeout.domain.facts import Claim, merged
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, exceeds, not_applicable, spread, within
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import DEVICE_NEEDS, ahead, ahead_of_transformer, mains
from changeout.rules._taps import FEEDER_TAP_RULES

_THREE_WIRE: Final = ("240V-3ph-3w", "480V-3ph-3w")
"""Systems that the secondary of a delta-delta transformer can be: three phases, three wires."""


@rule(
    "panelboard-supplied-through-transformer",
    group="busbar-and-protection",
    about="/supply/separately_derived",
    stage=Stage.INTAKE,
    needs=(
        "/supply/separately_derived",
        "/supply/separately_derived/primary_system",
        "/supply/system",
        "/panelboard/busbar_rating",
        "/supply/overcurrent_device",
        "/supply/tap_rule",
        *DEVICE_NEEDS,
    ),
    applies_to="a panelboard with a transformer on the premises ahead of it",
)
def transformer_supply(case: Case, _limits: Limits) -> Answer:
    """A panelboard behind a transformer is protected on its own side of the transformer.

    Because: a device before the transformer sees a fault or overload behind it turned into another current.
    Passes: when a main, or a device after the transformer, is rated at or below the busbar.
    Fails: when only a device before the transformer is there.
    Cannot tell: when the kind of main, a rating or the position of the device is not stated and decides. A three-wire,
        three-phase panelboard gets advice: its transformer may be delta-delta, which must be shown.
    Not covered: a device on the right side that is rated above the busbar: the rule on the busbar's protection answers.
    """
    if case.supply.separately_derived is None and not case.supply.given:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the supply, and so whether a transformer on the premises is ahead of the panelboard.",
            missing=(f"{case.supply.at}/separately_derived",),
        )
    if case.supply.separately_derived is None:
        return not_applicable("no transformer on the premises is ahead of the panelboard", case.supply.system)
    bus, main, after = case.panelboard.busbar_rating_a, mains(case), ahead(case)
    behind = main.there | after.there
    claim = (main.there & within(main.rating, bus)) | (after.there & within(after.rating, bus))
    if claim.fails and behind.holds:
        return not_applicable(
            "the device on the panelboard's side of the transformer is rated above the busbar: the rule on the "
            "protection of the busbar answers",
            behind,
        )
    return _answer(case, claim, behind)


def _answer(case: Case, claim: Claim, behind: Claim) -> Answer:
    system, bus = case.supply.system, case.panelboard.busbar_rating_a
    maybe_delta = system.among(*_THREE_WIRE) & ~_primary_too_large(case)
    if behind.fails and maybe_delta.holds:
        return advise(
            "only a device before the transformer protects the panelboard; that is enough only where the transformer "
            "is delta-delta with three-wire sides and the device is sized for both, which must be shown",
            behind,
            system,
            notes=Notes(
                remedy="submit the transformer's connection and the sizing, or provide a main in the panelboard",
                advice=Advice.READING,
            ),
        )
    unsettled = behind if behind.unknown else maybe_delta
    if claim.fails and unsettled.unknown:
        claim = Claim(Truth.UNKNOWN, merged(claim.inputs, unsettled.inputs), unsettled.missing)
    return decide(
        claim,
        yes=f"a device on the panelboard's side of the transformer protects the busbar of {spread(bus, 'A')}",
        no="only a device before the transformer protects the panelboard",
        unknown="whether a device on its own side of the transformer protects the panelboard cannot be told from what "
        "is stated",
        notes=Notes(
            rests_on=(bus,),
            remedy="provide a main, or a device after the transformer, rated no higher than the busbar",
            cautions=_wrong_rule(case),
        ),
    )


def _wrong_rule(case: Case) -> tuple[str, ...]:
    if case.supply.tap_rule.value not in FEEDER_TAP_RULES:
        return ()
    return (
        f"The tap rule claimed ({case.supply.tap_rule.value}) is for taps of a feeder; what leaves a transformer's "
        "secondary follows the rules for secondary conductors.",
    )


def _primary_too_large(case: Case) -> Claim:
    """Return the claim that the device before the transformer is above the busbar, seen from the panelboard's side."""
    return exceeds(ahead_of_transformer(case).rating, case.panelboard.busbar_rating_a)
