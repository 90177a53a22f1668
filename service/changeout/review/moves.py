"""Findings that move between two reports on the same or a changed proposal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from changeout.domain.findings import Finding, Outcome
from changeout.review.remedies import outcomes_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One subject of one rule whose outcome is another afterwards; None where it was or is not judged at all."""

    rule: str
    subject: str
    before: Outcome | None
    after: Outcome | None
    message: str


def moves(before: Sequence[Finding], after: Sequence[Finding]) -> tuple[Move, ...]:
    """Return what moved, in the order of the later findings, then what is no longer judged."""
    old, new = outcomes_of(before), outcomes_of(after)
    words = {(f.rule, s): f.message for f in (*before, *after) for s in (f.subjects or (f.subject,))}
    keys = dict.fromkeys((*new, *old))
    return tuple(
        Move(rule=rule, subject=subject, before=old.get(key), after=new.get(key), message=words[key])
        for key in keys
        for rule, subject in (key,)
        if old.get(key) is not new.get(key)
    )
