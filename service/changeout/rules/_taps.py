"""Conductors that begin without a device of their ampacity: taps, and the secondary conductors of a transformer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from changeout.domain.facts import Claim, Measurement, all_claims, any_claim, certain, merged
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.domain.value import value
from changeout.rules._case import Case
from changeout.rules._compare import amount, spread, within
from changeout.rules._registry import Limits
from changeout.rules._supply import Device

FEEDER_TAP_RULES: Final = ("ten-foot", "twenty-five-foot", "outside")

TAP_PARAMETERS: Final = {
    "tap_short_in": "number",
    "tap_short_times": "number",
    "tap_long_in": "number",
    "tap_long_times": "number",
}
"""What a row sets for taps: how long, and how many times their ampacity the device before them may be rated."""

_NAMES: Final = {
    "ten-foot": "the rule for short taps",
    "twenty-five-foot": "the rule for long taps",
    "outside": "the rule for taps outside",
    "transformer-secondary": "the rules for secondary conductors",
}


@value(frozen=True, slots=True, kw_only=True)
class Tapped:
    """The conductors: what they carry, the device before them in amperes of their side, and what they end in."""

    ampacity: Measurement
    before: Measurement
    end: Device


@value(frozen=True, slots=True, kw_only=True)
class TapReading:
    """The claim that the conductors are as their rule asks; how to say that they are; why they are not, where known."""

    claim: Claim
    because: str
    why_not: str


_Test = tuple[Claim, str]


def is_tap(case: Case) -> Claim:
    """Return the claim that the supply conductors are a feeder tap: said so, or a rule for taps is claimed."""
    rule = case.supply.tap_rule
    if rule.value in FEEDER_TAP_RULES:
        return Claim(Truth.YES, rule.inputs)
    return case.supply.tap.claim


def is_measured(case: Case) -> bool:
    """Whether a tap rule or a length is stated, so that there is something to judge besides the device at the end."""
    return case.supply.tap_rule.stated or case.supply.tap_length_in.stated


def unseen_before(case: Case, device: Device) -> Measurement:
    """Return the rating of a device before a transformer; without bounds where it is not known to be there."""
    if device.there.holds:
        return device.rating
    pointer = (f"{case.supply.at}/overcurrent_device",)
    return Measurement(Interval(0.0, math.inf), device.there.inputs, device.there.missing or pointer)


def read_tap(case: Case, limits: Limits, tapped: Tapped) -> TapReading:
    """Return how the conductors stand under the rule that is claimed, or under any where only a length is stated.

    Source: 240.21(B) and (C), from memory.
    """
    rule = case.supply.tap_rule
    tests = _tests(case, limits, tapped)
    if rule.value == "transformer-secondary":
        tried = [tests["ten-foot"], tests["twenty-five-foot"]]
    elif rule.value is not None:
        tried = [tests[rule.value]]
    else:
        tried = list(tests.values())
    claim = any_claim(all_claims(test for test, _ in one) for one in tried)
    name = _NAMES[rule.value] if rule.value is not None else "a rule for taps"
    length = case.supply.tap_length_in
    measure = f" at a length of {spread(length, 'in')}" if length.stated else ""
    return TapReading(
        claim=Claim(claim.truth, merged(rule.inputs if rule.stated else (), claim.inputs), claim.missing),
        because=f"is before conductors that are as {name} asks{measure}, and end in a device within their ampacity",
        why_not=next((words for test, words in tried[-1] if test.fails), "") if claim.fails else "",
    )


def _tests(case: Case, limits: Limits, tapped: Tapped) -> dict[str, Sequence[_Test]]:
    ampacity, end = tapped.ampacity, tapped.end
    ends = end.there & within(end.rating, ampacity)
    lugs = ~end.there & within(case.panelboard.busbar_rating_a, ampacity)
    single: _Test = (
        certain(case.panelboard.second_main is None, case.panelboard.main.kind),
        "they do not end in a single device",
    )
    too_small = f"what they end in is rated above their ampacity ({spread(ampacity, 'A')})"
    rule = case.supply.tap_rule
    outside = Claim(Truth.YES, rule.inputs) if rule.stated else Claim(Truth.UNKNOWN, rule.inputs, rule.missing)
    return {
        "ten-foot": [*_reach(case, limits, tapped, "short"), (ends | lugs, too_small)],
        "twenty-five-foot": [*_reach(case, limits, tapped, "long"), single, (ends, too_small)],
        "outside": [(outside, ""), single, (ends, too_small)],
    }


def _reach(case: Case, limits: Limits, tapped: Tapped, which: str) -> Sequence[_Test]:
    length, most_in = case.supply.tap_length_in, limits.number(f"tap_{which}_in")
    times = limits.number(f"tap_{which}_times")
    return [
        (within(length, most_in), f"they are {spread(length, 'in')} long, more than {amount(most_in, 'in')}"),
        (
            within(tapped.before, tapped.ampacity.times(times)),
            f"the device before them ({spread(tapped.before, 'A')}) is more than {amount(times, '')} times their "
            f"ampacity ({spread(tapped.ampacity, 'A')})",
        ),
    ]
