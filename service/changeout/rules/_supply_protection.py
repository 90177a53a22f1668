"""What protects the supply conductors, and whether it is small enough for them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from changeout.domain.facts import Claim, Measured, Measurement, merged
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.domain.value import value
from changeout.electrical.dwelling_service import may_use_dwelling_service_rule
from changeout.electrical.overcurrent import greatest_device
from changeout.rules._case import Case
from changeout.rules._compare import reaches, spread, within
from changeout.rules._registry import Limits
from changeout.rules._supply import (
    TerminalsFor,
    ahead_of_run,
    ahead_of_transformer,
    both_or_neither,
    dwelling_limits,
    ends,
    served,
    supply_ampacity,
)
from changeout.rules._taps import Tapped, is_measured, is_tap, read_tap, unseen_before
from changeout.tables.overcurrent import lasting_standard_ratings

_TAP_ON_SITE = "How long a tap may be, and where it may run, is to be seen on site."
_SECONDARY_ON_SITE = "How long secondary conductors may be, and where they may run, is to be seen on site."
_ON_SITE = "Where such conductors may run, and what keeps them from damage, is to be seen on site."
_DWELLING_CAUTION = "The rule for dwelling services counts here: the conductors carry less than the device's rating."


@value(frozen=True, slots=True, kw_only=True)
class Protection:
    """The device that protects the supply conductors, and the claim that it is small enough.

    ``permitted`` is the greatest device that any rule lets the conductors have, ``limit`` the one that decides,
    ``because`` the end of the sentence that says why it holds, and ``why_not`` why no rule for taps helps.
    """

    name: str
    claim: Claim
    device: Measurement
    ampacity: Measurement
    permitted: Measurement
    limit_name: str
    limit: Measurement
    because: str
    why_not: str = ""
    cautions: Sequence[str] = ()


def greatest_rating(ampacity: Measured, limits: Limits) -> Measurement:
    """Return the greatest device that conductors of an ampacity permit, rounded up as far as the row allows."""
    return greatest_device(ampacity, lasting_standard_ratings(), limits.number("round_up_to_a"))


def supply_protection(case: Case, limits: Limits, at_ends: TerminalsFor) -> Protection | None:
    """Return what protects the conductors that end at the panelboard; None where nothing on their side does.

    *at_ends* says what terminals they have. Of a transformer's secondary conductors, and of several disconnects at
    the end of service conductors, other things count: see there.
    """
    before, main = ahead_of_run(case, -1), ends(case)
    behind_transformer = case.supply.separately_derived is not None
    if before.there.holds:
        return _by_device_ahead(case, limits, at_ends)
    if main.there.fails and before.there.fails:
        return None if behind_transformer else _by_load(case, at_ends)
    at_end = _at_end(case, limits, at_ends) if behind_transformer else _by_main(case, limits, at_ends)
    if behind_transformer and before.there.fails and main.there.unknown and at_end.claim.fails:
        # lugs would leave nothing on this side: the rule on panelboards behind a transformer answers then
        unsettled = Claim(Truth.UNKNOWN, merged(at_end.claim.inputs, main.there.inputs), main.there.missing)
        return replace(at_end, claim=unsettled)
    if before.there.fails:
        return at_end
    from_ahead = _by_device_ahead(case, limits, at_ends)
    claim = both_or_neither(from_ahead.claim, at_end.claim, before.there)
    return replace(at_end if at_end.claim.fails else from_ahead, claim=claim)


def _by_device_ahead(case: Case, limits: Limits, at_ends: TerminalsFor) -> Protection:
    service = case.panelboard.role.value == "service"
    device = served(case).rating if service else ahead_of_run(case, -1).rating
    found = _ordinary(case, limits, device, at_ends, "device that protects the supply conductors")
    if service or found.claim.holds:
        return found
    main = ends(case)
    ampacity = _carried(case, main.rating, at_ends)
    because = "is ahead of a tap, whose conductors carry the rating of the main at their end"
    tap, why_not = main.there & within(main.rating, ampacity), ""
    if is_measured(case):
        read = read_tap(case, limits, Tapped(ampacity=ampacity, before=device, end=main))
        tap, because, why_not = read.claim, read.because, read.why_not
    claim = is_tap(case) & tap
    if claim.fails:
        return replace(found, why_not=why_not if is_tap(case).holds else "")
    return replace(
        found,
        claim=found.claim | claim,
        because=because,
        limit_name="rating of the main at the end of the tap" if claim.holds else found.limit_name,
        cautions=(_ON_SITE if is_measured(case) else _TAP_ON_SITE,) if claim.holds else (),
    )


def _by_main(case: Case, limits: Limits, at_ends: TerminalsFor) -> Protection:
    """Return the protection of service conductors by the main at their end, or by two mains together.

    Where the main may be lugs, it must be good as both: as a device, and as several disconnects.
    """
    main = ends(case)
    several = case.panelboard.second_main is not None
    found = _ordinary(case, limits, main.rating, at_ends, "sum of the two mains" if several else "main")
    if main.there.holds and (found.claim.holds or not several):
        return found
    by_load = _by_load(case, at_ends)
    good = found.claim | by_load.claim if several else found.claim
    claim = both_or_neither(good, by_load.claim, main.there) if main.there.unknown else good
    return replace(by_load if by_load.claim.holds else found, claim=claim)


def _at_end(case: Case, limits: Limits, at_ends: TerminalsFor) -> Protection:
    """Return the protection of a transformer's secondary conductors by the main at their end: nothing is rounded up.

    Source: 240.21(C), from memory.
    """
    main = ends(case)
    ampacity = _carried(case, main.rating, at_ends)
    found = _ordinary(case, limits, main.rating, at_ends, "main at the end of the secondary conductors")
    claim, why_not, measured_ = main.there & within(main.rating, ampacity), "", is_measured(case)
    if measured_:
        before = unseen_before(case, ahead_of_transformer(case))
        read = read_tap(case, limits, Tapped(ampacity=ampacity, before=before, end=main))
        claim, why_not = claim & read.claim, read.why_not
    return replace(
        found,
        claim=claim,
        why_not=why_not,
        permitted=ampacity,
        limit_name="ampacity of the supply conductors",
        limit=ampacity,
        because=f"is no more than the ampacity of the secondary conductors as installed ({spread(ampacity, 'A')})",
        cautions=(_ON_SITE if measured_ else _SECONDARY_ON_SITE,),
    )


def _by_load(case: Case, at_ends: TerminalsFor) -> Protection:
    """Return the protection of service conductors that several disconnects stand at the end of.

    Their ratings together may be above the ampacity, so long as the calculated load is not.
    Source: 230.90(A), exception, from memory.
    """
    load = case.load_result.amps
    ampacity = _carried(case, case.panelboard.busbar_rating_a, at_ends)
    return Protection(
        name="calculated load behind the several service disconnects",
        claim=within(load, ampacity),
        device=load,
        ampacity=ampacity,
        permitted=ampacity,
        limit_name="ampacity of the supply conductors",
        limit=ampacity,
        because=f"is no more than the ampacity of the service conductors as installed ({spread(ampacity, 'A')})",
    )


def _ordinary(case: Case, limits: Limits, device: Measurement, at_ends: TerminalsFor, name: str) -> Protection:
    """Return the protection by one device: at the ampacity, the next standard rating, or the dwelling service rule."""
    ampacity = _carried(case, device, at_ends)
    rule = dwelling_limits(limits)
    at_ampacity, rounded = within(device, ampacity), greatest_rating(ampacity, limits)
    dwelling = may_use_dwelling_service_rule(case.proposal, device, rule) & reaches(
        ampacity, device.times(rule.fraction)
    )
    by_rounding = within(device, rounded)
    by_rule = Measurement(ampacity.interval * (1 / rule.fraction), ampacity.inputs, ampacity.missing)
    if at_ampacity.holds:
        name_of_limit, limit = "ampacity of the supply conductors", ampacity
        because = f"is no more than the ampacity of the supply conductors as installed ({spread(ampacity, 'A')})"
    elif by_rounding.holds or not dwelling.holds:
        name_of_limit, limit = "greatest device that the supply conductors permit", rounded
        because = f"is no more than the next standard rating above the ampacity as installed ({spread(ampacity, 'A')})"
    else:
        name_of_limit, limit = "greatest device by the rule for dwelling services", by_rule
        because = f"is one that dwelling service conductors of {spread(ampacity, 'A')} may serve"
    return Protection(
        name=name,
        claim=by_rounding | dwelling,
        device=device,
        ampacity=ampacity,
        permitted=rounded,
        limit_name=name_of_limit,
        limit=limit,
        because=because,
        cautions=(_DWELLING_CAUTION,) if dwelling.holds and not by_rounding.holds else (),
    )


def _carried(case: Case, device: Measured, at_ends: TerminalsFor) -> Measurement:
    """Return the ampacity as installed; without a bound where no conductors are stated."""
    found = supply_ampacity(case, device, at_ends)
    if found is not None:
        return found
    runs = case.supply.runs
    return Measurement(Interval(0.0, math.inf), runs.inputs, runs.missing)
