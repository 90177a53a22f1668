"""What a reviewer decided of a report's findings, as a request states it."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from changeout.application.requests import Request
from changeout.domain.findings import Finding, Report
from changeout.domain.problems import DocumentError, Refusal
from changeout.render.documents.decisions import ACTIONS, NEED_TEXT, Decision, decidable

MOST_DECISIONS: Final = 500
"""How many decisions a request may have."""

MOST_TEXT: Final = 2000
"""How long a reviewer's text may be, in characters."""

MOST_NAME: Final = 200
"""How long the name of who decided may be, in characters."""

MEMBER: Final = "decisions"

_MEMBERS: Final = ("rule", "subject", "action", "text", "by")
_NEEDED: Final = ("rule", "action")

_Wrong = tuple[str, str, str]


def decisions_of(request: Request, report: Report) -> tuple[Decision, ...]:
    """Return the decisions of a request, each on a finding that the report has.

    Raises:
        Refusal: if one cannot be taken or fits no finding; all that is wrong at once, placed in the request.
    """
    given = request.value.get(MEMBER) or []
    errors: list[_Wrong] = []
    if len(given) > MOST_DECISIONS:
        errors.append((f"/{MEMBER}", "too-many", f"At most {MOST_DECISIONS} decisions are taken."))
    decisions: list[Decision] = []
    for place, entry in enumerate(given[:MOST_DECISIONS]):
        at = f"/{MEMBER}/{place}"
        wrong = list(_wrong(entry, at))
        if not wrong:
            decision = Decision(**{name: entry.get(name) for name in _MEMBERS})
            wrong = list(_unfit(decision, at, decisions, report.findings))
            decisions.append(decision)
        errors += wrong
    if errors:
        raise _refusal(request, errors)
    return tuple(decisions)


def _wrong(entry: object, at: str) -> Sequence[_Wrong]:
    """Return what is wrong with one decision by itself: pointer, code and detail."""
    known = ", ".join(_MEMBERS)
    if not isinstance(entry, dict):
        return [(at, "wrong-type", f"An object with some of {known} is expected here.")]
    found = [(f"{at}/{name}", "unknown-member", f"Known here are {known}.") for name in entry if name not in _MEMBERS]
    for name in _MEMBERS:
        value = entry.get(name)
        if value is None:
            if name in _NEEDED:
                found.append((f"{at}/{name}", "missing-member", "A text is expected here."))
        elif not isinstance(value, str):
            found.append((f"{at}/{name}", "wrong-type", "A text is expected here."))
    return found or [*_wrong_words(entry, at)]


def _wrong_words(entry: Mapping[str, Any], at: str) -> Iterator[_Wrong]:
    action = entry["action"]
    if action not in ACTIONS:
        yield f"{at}/action", "not-in-list", f"Expected here: one of {', '.join(ACTIONS)}."
    elif entry.get("text") is None and action in NEED_TEXT:
        yield f"{at}/text", "missing-member", f"{action} needs a text that says why."
    for name, most in (("text", MOST_TEXT), ("by", MOST_NAME)):
        value = entry.get(name)
        if value is not None and not (value.strip() and len(value) <= most):
            yield f"{at}/{name}", "bad-text", f"A text of 1 to {most} characters is expected here."


def _unfit(decision: Decision, at: str, earlier: Sequence[Decision], findings: Sequence[Finding]) -> Iterator[_Wrong]:
    if any((d.rule, d.subject) == (decision.rule, decision.subject) for d in earlier):
        yield at, "not-unique", "There is another decision on the same finding."
    elif not any(decision.is_about(finding) for finding in findings):
        name, detail = _nothing(decision, findings)
        yield f"{at}/{name}", "no-such-finding", detail


def _nothing(decision: Decision, findings: Sequence[Finding]) -> tuple[str, str]:
    """Return which member of a decision fits no finding, and why."""
    of_rule = [finding for finding in findings if finding.rule == decision.rule]
    if not of_rule:
        near = difflib.get_close_matches(decision.rule, {finding.rule for finding in findings}, n=1)
        return "rule", f"The report has no finding of this rule{f'; perhaps: {near[0]}' if near else ''}."
    subjects = list(dict.fromkeys(finding.subject for finding in of_rule if decidable(finding)))
    if not subjects:
        outcomes = " and ".join(dict.fromkeys(finding.outcome.value for finding in of_rule))
        return "rule", f"There is nothing to decide: this rule is {outcomes}."
    shown = ", ".join(subjects[:5])
    more = f" and {len(subjects) - 5} more" if len(subjects) > 5 else ""
    return "subject", f"This rule has findings to decide on at {shown}{more}."


def _refusal(request: Request, errors: Sequence[_Wrong]) -> Refusal:
    places = request.text.places()
    placed = [(pointer, code, detail, places.of_value(pointer)) for pointer, code, detail in errors]
    return Refusal(
        "unreadable-request",
        f"The decisions cannot be taken; the first reason is at {errors[0][0]}: {errors[0][2]}",
        tuple(
            DocumentError(pointer=pointer, code=code, detail=detail, line=where.line, column=where.column)
            for pointer, code, detail, where in placed
        ),
    )
