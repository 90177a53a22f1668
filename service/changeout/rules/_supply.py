"""The devices and conductors that feed the panelboard, read by the rules on protection, on conductors and on load."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final

from changeout.domain.facts import (
    Claim,
    Measured,
    Measurement,
    Number,
    all_claims,
    any_claim,
    fixed,
    least_of,
    measured,
    merged,
)
from changeout.domain.interval import Interval
from changeout.domain.proposal import MainDevice, Run, Supply
from changeout.domain.truth import Truth
from changeout.domain.value import value
from changeout.electrical.ampacity import ampacity_as_installed
from changeout.electrical.dwelling_service import DwellingServiceLimits, may_use_dwelling_service_rule
from changeout.electrical.installation import Terminals, conductors_of_run
from changeout.electrical.systems import SYSTEMS, va_per_ampere
from changeout.rules._case import Case
from changeout.rules._compare import Quantity, reaches
from changeout.rules._registry import Limits
from changeout.tables.ampacity import COLUMNS_DEGC

DEVICE_NEEDS: Final = (
    "/panelboard/role",
    "/panelboard/main/kind",
    "/panelboard/main/rating",
    "/panelboard/second_main/kind",
    "/panelboard/second_main/rating",
    "/supply/overcurrent_device/rating",
    "/supply/overcurrent_device/position",
    "/supply/runs/*/device_after",
)
"""What tells which devices protect the panelboard: the mains, the one ahead, and those between runs."""

AMPACITY_NEEDS: Final = (
    "/supply/runs/*/size",
    "/supply/runs/*/material",
    "/supply/runs/*/sets",
    "/supply/runs/*/insulation_temperature",
    "/supply/runs/*/ambient_temperature",
    "/supply/runs/*/current_carrying_conductors",
    "/panelboard/termination_temperature",
)
"""What the ampacity of the supply conductors as installed follows from, the rating of the device aside."""

DWELLING_SYSTEMS: Final = ("120/240V-1ph-3w", "120/208V-1ph-3w")
"""Systems of three wires that one dwelling unit is fed with: 120/240 V, or two legs and neutral of 208Y/120 V.

Source: electricians' forum thread 2537467 printing 310.12, 2020.
"""

DWELLING_PARAMETERS: Final = {
    "dwelling_fraction": "number",
    "dwelling_min_a": "number",
    "dwelling_max_a": "number",
}
"""What a row must set so that its rule can count dwelling service conductors as good for the rating they serve."""


@value(frozen=True, slots=True, kw_only=True)
class Device:
    """An overcurrent device (or two mains together) that may be there, and its rating in amperes."""

    there: Claim
    rating: Measurement

    @property
    def limit(self) -> Measurement | None:
        """What it limits a current to: nothing where it is known not to be there, no upper bound where it may not."""
        if self.there.fails:
            return None
        if self.there.holds:
            return self.rating
        return Measurement(
            Interval(self.rating.low, math.inf),
            merged(self.there.inputs, self.rating.inputs),
            merged(self.there.missing, self.rating.missing),
        )


def is_device(main: MainDevice) -> Claim:
    """Return the claim that a main is an overcurrent device, not lugs."""
    return main.kind.among("breaker", "fusible")


def mains(case: Case) -> Device:
    """Return the main of the panelboard; of two mains, both together with the sum of their ratings."""
    panelboard = case.panelboard
    both = (panelboard.main,) if panelboard.second_main is None else (panelboard.main, panelboard.second_main)
    possible = [main for main in both if not is_device(main).fails]
    there = any_claim(is_device(main) for main in both)
    if not possible:
        return Device(there=there, rating=fixed(0.0))
    total = measured(possible[0].rating_a)
    for main in possible[1:]:
        total = total.plus(main.rating_a)
    sure = [main for main in possible if is_device(main).holds]
    least = sum(main.rating_a.low for main in sure) if sure else min(main.rating_a.low for main in possible)
    missing = merged(total.missing, *(is_device(main).missing for main in possible))
    return Device(there=there, rating=Measurement(Interval(least, total.high), total.inputs, missing))


def ends(case: Case) -> Device:
    """Return the device at the end of the supply conductors: the main, or one before it where they end, the least."""
    run, main = last_run(case), mains(case)
    device = None if run is None else run.device_after
    if device is None:
        return main
    rating = least_of(device.rating_a, main.rating) if main.there.holds else measured(device.rating_a)
    return Device(there=Claim(Truth.YES, (device.at,)), rating=rating)


def ahead(case: Case) -> Device:
    """Return the device ahead of the panelboard on its own side of any transformer; of several in series, the least.

    A service without a stated one has none, where a supply is stated at all; a feeder always has one, stated or not.
    """
    return _with_those_between(case, case.supply.runs.items)


def ahead_of_run(case: Case, index: int) -> Device:
    """Return the device ahead of one of the supply's runs, as ``ahead`` does of the panelboard; -1 is the last run."""
    return _with_those_between(case, case.supply.runs.items[:index])


def _with_those_between(case: Case, runs: Sequence[Run]) -> Device:
    own, between = _ahead_of_all(case), [run.device_after for run in runs if run.device_after is not None]
    if not between:
        return own
    there, rating = Claim(Truth.YES, tuple(d.at for d in between)), least_of(*(d.rating_a for d in between))
    if case.supply.overcurrent_device is None or own.there.fails:
        return Device(there=there, rating=rating)
    both = least_of(rating, own.rating)
    high = both.high if own.there.holds else rating.high
    missing = () if both.low == high else merged(both.missing, own.there.missing)
    return Device(there=there, rating=Measurement(Interval(both.low, high), both.inputs, missing))


def _ahead_of_all(case: Case) -> Device:
    device, transformer = case.supply.overcurrent_device, case.supply.separately_derived
    if device is not None:
        there = Claim(Truth.YES, (device.at,))
        if transformer is not None:
            there = device.position.among("after-transformer")
        return Device(there=there, rating=measured(device.rating_a))
    pointer = (f"{case.supply.at}/overcurrent_device",)
    role = case.panelboard.role
    unseen = Measurement(Interval(0.0, math.inf), merged(role.inputs, pointer), pointer)
    if role.value == "service" and case.supply.given:
        return Device(there=Claim(Truth.NO, role.inputs), rating=unseen)
    known = role.value == "feeder" and transformer is None
    there = Claim(Truth.YES if known else Truth.UNKNOWN, role.inputs, () if known else merged(role.missing, pointer))
    return Device(there=there, rating=unseen)


def own_source(supply: Supply) -> Claim:
    """Return the claim that a transformer on the premises is ahead of the panelboard; unknown without any supply."""
    pointer = (f"{supply.at}/separately_derived",)
    if supply.separately_derived is not None:
        return Claim(Truth.YES, pointer)
    return Claim(Truth.NO) if supply.given else Claim(Truth.UNKNOWN, pointer, pointer)


def ahead_of_transformer(case: Case) -> Device:
    """Return the device before the transformer on the premises, its rating in amperes of the panelboard's side.

    Source: equal power on both sides, balanced load.
    """
    device, transformer = case.supply.overcurrent_device, case.supply.separately_derived
    if device is None or transformer is None:
        return Device(there=Claim(Truth.NO), rating=fixed(0.0))
    here, there = case.supply.system, transformer.primary_system
    ratios = [
        va_per_ampere(primary) / va_per_ampere(secondary)
        for primary in ((there.value,) if there.value is not None else tuple(SYSTEMS))
        for secondary in ((here.value,) if here.value is not None else tuple(SYSTEMS))
    ]
    rating = Measurement(
        device.rating_a.interval * Interval(min(ratios), max(ratios)),
        merged(device.rating_a.inputs, there.inputs, here.inputs),
        merged(device.rating_a.missing, there.missing, here.missing),
    )
    return Device(there=device.position.among("before-transformer"), rating=rating)


def served(case: Case) -> Device:
    """Return the device whose rating the supply conductors serve: the one ahead of them, else the main at their end.

    Service conductors are protected by whichever device in series with them is the least.
    """
    before, main = ahead_of_run(case, -1), ends(case)
    if before.there.fails:
        return main
    limit = main.limit
    if before.there.holds:
        service = case.panelboard.role.value == "service" and limit is not None
        return Device(there=before.there, rating=least_of(before.rating, limit)) if service and limit else before
    low = before.rating.low if limit is None else min(before.rating.low, main.rating.low)
    high = before.rating.high if limit is None else max(before.rating.high, main.rating.high)
    rating = Measurement(
        Interval(low, high),
        merged(before.rating.inputs, main.rating.inputs),
        merged(before.there.missing, before.rating.missing, main.rating.missing),
    )
    return Device(there=before.there | main.there, rating=rating)


def last_run(case: Case) -> Run | None:
    """Return the conductors that end at the panelboard, or None where none are stated."""
    runs = case.supply.runs.items
    return runs[-1] if runs else None


def terminals(case: Case, circuit_a: Measured) -> Terminals:
    """Return the panelboard's terminals for a circuit whose device is rated *circuit_a*."""
    return Terminals(marked_degc=case.panelboard.termination_temperature_degc, circuit_a=circuit_a)


def unlimited_terminals(case: Case, circuit_a: Measured) -> Terminals:
    """Return terminals that never are the limit, to see what the conductors alone would carry."""
    hottest = COLUMNS_DEGC[-1]
    at = case.panelboard.termination_temperature_degc.at
    marked = Number(at, float(hottest), float(hottest), float(hottest))
    return Terminals(marked_degc=marked, circuit_a=circuit_a, high_column_degc=hottest)


TerminalsFor = Callable[[Case, Measured], Terminals]


def supply_ampacity(case: Case, device_a: Measured, at_ends: TerminalsFor = terminals) -> Measurement | None:
    """Return the ampacity of the supply conductors as installed, in amperes; None where there are none.

    Those that end at the panelboard count: what lies before them may be the utility's, or have its own device.
    """
    runs, run = case.supply.runs, last_run(case)
    if run is not None:
        return ampacity_as_installed(conductors_of_run(run), at_ends(case, device_a))
    if runs.stated:
        return None
    return Measurement(Interval(0.0, math.inf), runs.inputs, runs.missing)


def dwelling_limits(limits: Limits) -> DwellingServiceLimits:
    """Return what a row sets for dwelling service conductors."""
    return DwellingServiceLimits(
        fraction=limits.number("dwelling_fraction"),
        least_a=limits.number("dwelling_min_a"),
        greatest_a=limits.number("dwelling_max_a"),
        systems=DWELLING_SYSTEMS,
    )


def dwelling_rule_holds(case: Case, ampacity: Measured, device_a: Measured, limits: Limits) -> Claim:
    """Return the claim that the dwelling service rule may be used for the conductors and that they satisfy it."""
    rule = dwelling_limits(limits)
    return may_use_dwelling_service_rule(case.proposal, device_a, rule) & reaches(
        ampacity, measured(device_a).times(rule.fraction)
    )


def counted_ampacity(case: Case, limits: Limits) -> Measurement | None:
    """Return the ampacity of the supply conductors as it counts against a load; None where there are none.

    Conductors that satisfy the dwelling service rule count as good for the rating they serve.
    """
    device = served(case)
    ampacity = supply_ampacity(case, device.rating)
    if ampacity is None or device.there.fails:
        return ampacity
    good = dwelling_rule_holds(case, ampacity, device.rating, limits)
    if good.fails:
        return ampacity
    high = max(ampacity.high, device.rating.high)
    low = max(ampacity.low, device.rating.low) if good.holds else ampacity.low
    missing = () if low == high else merged(ampacity.missing, good.missing, device.rating.missing)
    return Measurement(Interval(low, high), merged(ampacity.inputs, good.inputs), missing)


def load_limit(case: Case, limits: Limits) -> Quantity | None:
    """Return what the load may come to, in amperes: the least of the devices in series and the supply conductors.

    It is called by the one that is known to be the least. None where neither a device nor conductors are stated to be
    there.
    """
    found = {
        "rating of the main": mains(case).limit,
        "rating of the device ahead": ahead(case).limit,
        "rating of the device before the transformer, on the panelboard's side": ahead_of_transformer(case).limit,
        "ampacity of the supply conductors": counted_ampacity(case, limits),
    }
    there = {name: number for name, number in found.items() if number is not None}
    if not there:
        return None
    least = least_of(*there.values())
    sure = [name for name, number in there.items() if number.high <= least.low]
    name = sure[0] if sure else "least of main, device ahead and supply conductors"
    return Quantity(name=name, number=least)


def device_limit(case: Case) -> Measurement | None:
    """Return the least rating of main and device ahead on its own side, in amperes; None where neither is there."""
    there = [number for number in (mains(case).limit, ahead(case).limit) if number is not None]
    return least_of(*there) if there else None


def both_or_neither(first: Claim, second: Claim, unsettled: Claim) -> Claim:
    """Return what holds whichever of two readings is right; unknown where they differ and *unsettled* parts them."""
    inputs = merged(first.inputs, second.inputs, unsettled.inputs)
    if first.holds and second.holds:
        return Claim(Truth.YES, inputs)
    if first.fails and second.fails:
        return Claim(Truth.NO, inputs)
    joined = all_claims((first, second))
    return Claim(Truth.UNKNOWN, inputs, merged(unsettled.missing, joined.missing, first.missing, second.missing))
