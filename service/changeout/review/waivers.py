"""Waivers: applied to violations in sight of everybody, never hiding one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from changeout.domain.findings import Finding, Outcome
from changeout.domain.proposal import Waiver


def apply_waivers(
    findings: Sequence[Finding], waivers: Sequence[Waiver], decided_on: dt.date | None
) -> tuple[list[Finding], list[str]]:
    """Return the findings with the waivers that hold set on their violations, and what is to be said of the rest.

    A waiver with an expiry holds up to and including that day, counted on the date applied on; without that date
    it cannot be told and is not applied.
    """
    waived = list(findings)
    remarks: list[str] = []
    for waiver in waivers:
        matching = [i for i, f in enumerate(waived) if f.rule == waiver.rule and f.outcome is Outcome.VIOLATION]
        if not matching:
            remarks.append(f"The waiver of {waiver.rule} ({waiver.at}) matches no violation.")
            continue
        lapse = _lapse(waiver, decided_on)
        for i in matching:
            if lapse is None:
                waived[i] = replace(waived[i], waived=waiver_object(waiver))
            else:
                waived[i] = replace(waived[i], cautions=(*waived[i].cautions, lapse))
        if lapse is not None:
            remarks.append(f"{waiver.rule}: {lapse}")
    return waived, remarks


def _lapse(waiver: Waiver, decided_on: dt.date | None) -> str | None:
    expires = waiver.expires_on.value
    if expires is None:
        return None
    if decided_on is None:
        return f"A waiver until {expires} is not applied: the date applied on is not stated."
    if decided_on > expires:
        return f"A waiver granted by {waiver.granted_by} expired on {expires}, before the application of {decided_on}."
    return None


def waiver_object(waiver: Waiver) -> Mapping[str, Any]:
    """Return a waiver as a finding echoes it."""
    expires = waiver.expires_on.value
    return {
        "rule": waiver.rule,
        "reason": waiver.reason,
        "granted_by": waiver.granted_by,
        "expires_on": expires.isoformat() if expires else None,
    }
