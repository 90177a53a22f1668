"""The interrupting rating of the device ahead of the panelboard."""

from __future__ import annotations

import math
from collections.abc import Sequence

from changeout.domain.facts import Measurement, greatest_of
from changeout.domain.findings import Answer, Stage
from changeout.domain.interval import Interval
from changeout.domain.proposal import OvercurrentDevice, Run, RunDevice
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, advise, at_least, not_applicable, reaches, spread
from changeout.rules._registry import Limits, rule

SECONDARY = "transformer's secondary terminals"
"""The name of that point in the calculation."""


@rule(
    "supply-device-interrupting-rating",
    group="ratings",
    about="/supply/overcurrent_device",
    stage=Stage.INTAKE,
    needs=(
        "/supply/overcurrent_device/interrupting_rating",
        "/supply/overcurrent_device/position",
        "/supply/runs/*/device_after/interrupting_rating",
        "/supply/separately_derived/primary_runs/*/device_after/interrupting_rating",
        "/panelboard/role",
        "calculation:fault-current",
    ),
    applies_to="a panelboard with an overcurrent device ahead of it",
)
def supply_interrupting_rating(case: Case, _limits: Limits) -> Answer | Sequence[Answer]:
    """The overcurrent device ahead of the panelboard can interrupt the fault current where it stands.

    Because: it clears the faults on the conductors to the panelboard, and one that cannot bursts.
    Passes: when its interrupting rating is at or above the fault current at the source's terminals, the most that
        can be had anywhere ahead of the panelboard; for a device between two runs, at the end of the run before it.
    Fails: when its interrupting rating is below the fault current at the panelboard, the least it can meet; for a
        device between two runs, below the fault current at the end of the run before it.
    Cannot tell: between the two, or when the rating is not stated; both are said as advice. For a device between two
        runs: when its rating, or the fault current there, is not known well enough.
    Not covered: where along the conductors the device stands that is stated as the one ahead of the panelboard.
    """
    primary = case.supply.separately_derived.primary_runs.items if case.supply.separately_derived else ()
    runs = (*primary, *case.supply.runs.items)
    between = [_between(case, run, run.device_after) for run in runs if run.device_after is not None]
    if case.supply.overcurrent_device is None and any(run.device_after for run in case.supply.runs.items):
        return between
    return [_ahead(case), *between] if between else _ahead(case)


def _between(case: Case, run: Run, device: RunDevice) -> Answer:
    name = f" “{run.id.value}”" if run.id.value else ""
    return at_least(
        Quantity(name="interrupting rating of the device after the run" + name, number=device.interrupting_rating_a),
        Quantity(name="fault current at the end of that run", number=case.fault_current.after_run(run)),
        "A",
        Notes(
            subject=device.at,
            remedy="use a device with an interrupting rating at or above the fault current where it stands",
        ),
    )


def _ahead(case: Case) -> Answer:
    device = case.supply.overcurrent_device
    if device is None:
        if case.panelboard.role.value == "service" and case.supply.given:
            return not_applicable(
                "nothing is ahead of the service panelboard: its main alone protects", case.panelboard.role
            )
        return advise(
            "the device ahead of the panelboard, and its interrupting rating, are not stated",
            case.panelboard.role,
            missing=("/supply/overcurrent_device",),
        )
    return _device(case, device)


def _device(case: Case, device: OvercurrentDevice) -> Answer:
    rating, most, least = device.interrupting_rating_a, _most(case, device), _least(case, device)
    behind = case.supply.separately_derived is not None and device.position.value == "after-transformer"
    where = "at the transformer's secondary terminals" if behind else "at the source's terminals"
    found = Quantity(name="interrupting rating of the device ahead of the panelboard", number=rating)
    notes = Notes(remedy=f"use a device with an interrupting rating at or above the fault current {where}")
    if reaches(rating, most).holds:
        return at_least(found, Quantity(name=f"fault current {where}", number=most), "A", notes)
    if least is not None and reaches(rating, least).fails:
        return at_least(found, Quantity(name="fault current at the panelboard", number=least), "A", notes)
    return advise(
        f"whether the interrupting rating of the device ahead of the panelboard ({spread(rating, 'A')}) is at least "
        f"the fault current where it stands cannot be told; {where} that is {spread(most, 'A')}",
        reaches(rating, most),
        notes=notes,
        missing=reaches(rating, most).missing,
    )


def _most(case: Case, device: OvercurrentDevice) -> Measurement:
    """Return the most that the device can meet: at the terminals of the source or of the transformer before it."""
    found = case.fault_current
    if case.supply.separately_derived is None or device.position.value == "before-transformer":
        return found.at_source
    return _secondary(case) if device.position.stated else greatest_of(found.at_source, _secondary(case))


def _secondary(case: Case) -> Measurement:
    """Return the fault current at the secondary terminals of the transformer on the premises."""
    found, runs = case.fault_current.at_panelboard, case.supply.runs
    if runs.stated and not runs.items:
        return found
    there = [r.interval for r in case.fault_current.calculation().results if r.at == SECONDARY]
    interval = Interval(max(i.low for i in there), max(i.high for i in there)) if there else Interval(0.0, math.inf)
    return Measurement(interval, found.inputs, () if interval.is_point else found.missing, found.calculation)


def _least(case: Case, device: OvercurrentDevice) -> Measurement | None:
    """Return the least that the device can meet, where it stands on the panelboard's side of any transformer."""
    if case.supply.separately_derived is None or device.position.value == "after-transformer":
        return case.fault_current.at_panelboard
    return None
