"""What became of a project between two submissions: fixed, new, and changed without being asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from changeout.application.requests import Part, Request, read_request
from changeout.application.service import Service
from changeout.application.what_if import move_object
from changeout.domain.findings import Finding, Outcome, Report
from changeout.intake.pointers import join
from changeout.intake.read import ReadProposal
from changeout.review.moves import Move, moves

_OPEN: Final = frozenset({Outcome.VIOLATION, Outcome.UNDETERMINED, Outcome.CONDITIONAL})
_SETTLED: Final = frozenset({Outcome.SATISFIED, Outcome.NOT_APPLICABLE, Outcome.ADVISORY, None})
_ABSENT: Final = object()


def decision_diff(service: Service, body: bytes) -> dict[str, Any]:
    """Return the difference of the request ``{"old": proposal, "new": proposal, "edition"?}``.

    Raises:
        Refusal: if the request or one of its proposals cannot be read.
    """
    request = read_request(
        body, Part("old", dict, required=True), Part("new", dict, required=True), Part("edition", str)
    )
    edition = request.edition(service.editions())
    (old, before), (new, after) = (_side(service, request, name, edition) for name in ("old", "new"))
    return diff_of(old, before, new, after)


def _side(service: Service, request: Request, name: str, edition: str | None) -> tuple[ReadProposal, Report]:
    read = request.proposal(name, edition_chosen=edition is not None)
    return read, service.report_on(read, edition=edition, detail="findings")


def diff_of(old: ReadProposal, before: Report, new: ReadProposal, after: Report) -> dict[str, Any]:
    """Return what was fixed, what is new, what else moved, and which members changed, JSON-ready.

    A member that changed though no open finding of the old report rests on it or asks for it is ``silent``.
    """
    moved = moves(before.findings, after.findings)
    asked = _asked(before)
    return {
        "changeout_decision_diff": 1,
        "old": _summary(before),
        "new": _summary(after),
        "same_ruleset": before.ruleset.digest == after.ruleset.digest,
        "fixed": [move_object(m) for m in moved if m.before in _OPEN and m.after in _SETTLED],
        "new_findings": [move_object(m) for m in moved if m.after in _OPEN and m.before in _SETTLED],
        "other_moves": [move_object(m) for m in moved if not _is_fixed_or_new(m)],
        "still_open": [
            {"rule": f.rule, "subject": f.subject, "outcome": f.outcome.value, "message": f.message}
            for f in after.findings
            if f.outcome in _OPEN and not _is_new(f, moved)
        ],
        "changed_members": [
            {"pointer": pointer, "old": was, "new": now, "silent": not _touches(pointer, asked)}
            for pointer, was, now in changed_members(old.canonical, new.canonical, "")
        ],
    }


def _is_fixed_or_new(move: Move) -> bool:
    fixed = move.before in _OPEN and move.after in _SETTLED
    return fixed or (move.after in _OPEN and move.before in _SETTLED)


def _is_new(finding: Finding, moved: tuple[Move, ...]) -> bool:
    return any(m.rule == finding.rule and m.subject == finding.subject and m.before in _SETTLED for m in moved)


def _asked(report: Report) -> tuple[str, ...]:
    return tuple({p for f in report.findings if f.outcome in _OPEN for p in (*f.inputs, *f.missing)})


def _touches(pointer: str, asked: tuple[str, ...]) -> bool:
    return any(pointer == at or pointer.startswith(f"{at}/") or at.startswith(f"{pointer}/") for at in asked)


def _summary(report: Report) -> dict[str, Any]:
    return {
        "decision_id": report.decision_id,
        "proposal_digest": report.proposal_digest,
        "reference": report.reference,
        "edition": report.ruleset.edition,
        "verdict": report.verdict,
        "headline": report.headline,
    }


def changed_members(old: Any, new: Any, at: str) -> Iterator[tuple[str, Any, Any]]:  # noqa: ANN401 - any JSON value
    """Yield each member that differs between two documents with its old and new value; None where it is absent."""
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        for name in dict.fromkeys((*old, *new)):
            yield from changed_members(old.get(name, _ABSENT), new.get(name, _ABSENT), join(at, name))
    elif isinstance(old, list | tuple) and isinstance(new, list | tuple):
        for i in range(max(len(old), len(new))):
            was = old[i] if i < len(old) else _ABSENT
            now = new[i] if i < len(new) else _ABSENT
            yield from changed_members(was, now, f"{at}/{i}")
    elif old != new or type(old) is not type(new):
        yield at, None if old is _ABSENT else old, None if new is _ABSENT else new
