"""The overcurrent device that protects the busbar."""

from __future__ import annotations

from changeout.domain.facts import Claim, Measurement, least_of, merged
from changeout.domain.findings import Answer, Figure, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, exceeds, figure, not_applicable, spread, within, words
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import DEVICE_NEEDS, ahead, device_limit, is_device, mains


@rule(
    "panelboard-overcurrent-protection-not-above-rating",
    group="busbar-and-protection",
    about="/panelboard/busbar_rating",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/busbar_rating",
        "/panelboard/split_bus",
        "/supply/separately_derived",
        "/service/disconnects",
        *DEVICE_NEEDS,
    ),
    applies_to="every proposal",
    parameters={"max_disconnects": "number"},
)
def panelboard_protection(case: Case, limits: Limits) -> Answer:
    """The panelboard is protected, in it or ahead of it, by a device rated no higher than its busbar.

    Because: a busbar fed above its rating overheats with every breaker on it holding.
    Passes: when the main or the device ahead is rated at or below the busbar; or, in a service panelboard with main
        lugs, when its disconnects are the several disconnects of the service and no more than the edition's number.
    Fails: when no device is rated so low and that exception does not hold; or nothing protects the panelboard at all.
    Cannot tell: when a rating, the kind of main, the device ahead of a feeder panelboard or the number of service
        disconnects is not stated and decides.
    Not covered: two mains whose ratings together are above the busbar, and a panelboard behind a transformer with no
        device on its own side: their own rules answer.
    """
    bus, main, before = case.panelboard.busbar_rating_a, mains(case), ahead(case)
    protected = (main.there & within(main.rating, bus)) | (before.there & within(before.rating, bus))
    exempt = _several_disconnects(case, limits.number("max_disconnects")) & ~main.there
    claim = protected | exempt
    if claim.fails and _two(case).holds:
        return not_applicable("two mains protect the panelboard: their own rule answers", _two(case))
    if claim.fails and _two(case).unknown:
        claim = Claim(Truth.UNKNOWN, merged(claim.inputs, _two(case).inputs), _two(case).missing)
    if claim.fails and case.supply.separately_derived is not None and main.there.fails and before.there.fails:
        return not_applicable(
            "a transformer feeds the panelboard and nothing protects it on its own side: the rule on panelboards "
            "behind a transformer answers",
            main.there,
            before.there,
        )
    if claim.fails and case.supply.separately_derived is not None and main.there.fails and before.there.unknown:
        claim = Claim(Truth.UNKNOWN, merged(claim.inputs, before.there.inputs), before.there.missing)
    return _answer(case, claim, exempt=exempt)


def _several_disconnects(case: Case, most: float) -> Claim:
    """Return the claim that the panelboard's own devices are the several disconnects of a service.

    With more than two of them none may supply a second busbar.
    """
    count = case.service.disconnects
    one_bus = within(count, 2) | ~case.panelboard.split_bus.claim
    return case.panelboard.role.among("service") & exceeds(count, 1) & within(count, most) & one_bus


def _two(case: Case) -> Claim:
    second = case.panelboard.second_main
    return Claim(Truth.NO) if second is None else is_device(case.panelboard.main) & is_device(second)


def _answer(case: Case, claim: Claim, *, exempt: Claim) -> Answer:
    bus = case.panelboard.busbar_rating_a
    least = _least(case)
    rated = f"of {spread(bus, 'A')}" if bus.stated else "of unknown rating"
    device = f"an overcurrent device of {spread(least, 'A')}" if least is not None else "no overcurrent device"
    by_exemption = exempt.holds
    return decide(
        claim,
        yes=f"the panelboard's own devices are the {spread(case.service.disconnects, '')} disconnects of the service, "
        "so that it needs no main"
        if by_exemption
        else f"{device} protects the busbar {rated}",
        no=f"{device} protects the busbar {rated}, which a device rated no higher than the busbar must do",
        unknown="whether a device rated no higher than the busbar protects the panelboard cannot be told from what is "
        "stated",
        found=None if by_exemption else _found(least),
        required=None if by_exemption else figure("busbar rating of the panelboard", bus, "A", "<="),
        notes=Notes(
            rests_on=(bus,),
            remedy="provide a main, or a device ahead, rated no higher than the busbar, or a panelboard with a higher "
            "busbar rating",
            cautions=(
                "A panelboard without a main leaves its busbar live until every one of its disconnects is off, and "
                "the utility's side stays live even then.",
            )
            if by_exemption
            else (),
        ),
    )


def _found(least: Measurement | None) -> Figure:
    name = "least overcurrent device that protects the panelboard"
    return words(name, "none") if least is None else figure(name, least, "A")


def _least(case: Case) -> Measurement | None:
    """Return the least rating of the devices that are known to be there, else what they limit a current to."""
    there = [device.rating for device in (mains(case), ahead(case)) if device.there.holds]
    sure = [rating for rating in there if not rating.missing]
    return least_of(*sure) if sure else device_limit(case)
