"""What a claimed series rating rests on, read by the rules on the pair and on the devices it covers."""

from __future__ import annotations

import math

from changeout.domain.facts import Claim, Measurement, certain, least_of
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import named, reaches, within


def series_claimed(case: Case) -> Claim:
    """Return the claim that the panelboard is series rated."""
    return case.panelboard.rating_basis.among("series")


def is_tested(case: Case) -> Claim:
    """Return the claim that the combination is a tested one, not worked out by an engineer.

    Where the basis is not stated, a named combination document that is no engineering study speaks for tested.
    """
    series = case.panelboard.series_rating
    document = series.tested_combination_document
    if not series.basis.stated and document.document is not None:
        if document.document.kind.value == "engineering-study":
            return Claim(Truth.UNKNOWN, document.inputs, series.basis.missing)
        return named(document)
    return series.basis.among("tested")


def engineering_study(case: Case) -> Claim:
    """Return the claim that an engineering study is among the documents; where none is, there may still be one."""
    found = tuple(d.at for d in case.proposal.documents if d.kind.value == "engineering-study")
    return Claim(Truth.YES, found) if found else Claim(Truth.UNKNOWN, ("/documents",), ("/documents",))


def existing_installation(case: Case) -> Claim:
    """Return the claim that the installation is an existing one: an interior replaced in the enclosure that stays."""
    return case.work.scope.among("interior-only")


def combination_covers(case: Case) -> Claim:
    """Return the claim that the combination rating is at least the available fault current."""
    return reaches(case.panelboard.series_rating.combination_rating_a, case.fault_current.at_panelboard)


def lower_interrupting_rating(case: Case) -> Measurement:
    """Return the least interrupting rating of the branch breakers, in amperes: the lower device of the pair."""
    circuits = case.panelboard.circuits
    if not circuits.stated or not circuits.items:
        return Measurement(Interval(0.0, math.inf), circuits.inputs, circuits.missing)
    return least_of(*(c.breaker.interrupting_rating_a for c in circuits))


def motors_within(case: Case, max_percent: float) -> Claim:
    """Return the claim that the motors between the two devices stay within *max_percent* of the lower rating."""
    motors = case.panelboard.series_rating.motor_full_load_current_a
    return within(motors, lower_interrupting_rating(case).times(max_percent / 100))


def series_conditions(case: Case, max_motor_percent: float) -> Claim:
    """Return the claim that everything a series rating rests on is in order, whether it is claimed or not."""
    series = case.panelboard.series_rating
    tested = is_tested(case)
    shown = (tested & named(series.tested_combination_document)) | (
        ~tested & existing_installation(case) & engineering_study(case)
    )
    return shown & series.field_marked.claim & combination_covers(case) & motors_within(case, max_motor_percent)


def nothing_ahead(case: Case) -> Claim:
    """Return the claim that no overcurrent device stands ahead of the panelboard.

    A service without one has none; a feeder always has one, stated or not.
    """
    device = case.supply.overcurrent_device
    between = [run.device_after.at for run in case.supply.runs if run.device_after is not None]
    if device is not None or between:
        return Claim(Truth.NO, (device.at,) if device is not None else tuple(between))
    role = case.panelboard.role
    return certain(role.value == "service", role) if role.stated else Claim(Truth.UNKNOWN, role.inputs, role.missing)
