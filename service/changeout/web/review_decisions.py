"""What the reviewer chose beside each finding, as decisions of a correction letter."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from changeout.domain.findings import Finding, Report
from changeout.domain.problems import Refusal
from changeout.render.documents.decisions import ACTIONS, NEED_TEXT, decidable
from changeout.web.review_cards import decision_key

KEEP: Final = "keep"
_Chosen = tuple[str, str]


def decisions_of(report: Report, chosen: Mapping[str, _Chosen], by: str) -> list[dict[str, str | None]]:
    """Return the decisions on the findings of a report, made *by* somebody: one a rule where it is the same for all.

    Keeping a finding takes none, unless it is waived: then it says that the waiver is not accepted.

    Raises:
        Refusal: naming the findings that lack the reason or note that goes with what was chosen.
    """
    by_rule: dict[str, dict[str, _Chosen | None]] = {}
    lacking: dict[str, None] = {}
    for finding in filter(decidable, report.findings):
        decision = _decision(finding, chosen)
        if decision is not None and decision[0] in NEED_TEXT and not decision[1]:
            lacking[finding.title] = None
        by_rule.setdefault(finding.rule, {}).setdefault(finding.subject, decision)
    if lacking:
        titles = "; ".join(lacking)
        raise Refusal("unreadable-request", f"A reason or note is needed beside each of these findings: {titles}.")
    found = []
    for rule, decided in by_rule.items():
        same = len(set(decided.values())) == 1
        for subject, decision in list(decided.items())[: 1 if same else None]:
            if decision is not None:
                found.append(_told(rule, None if same else subject, decision, by))
    return found


def _decision(finding: Finding, chosen: Mapping[str, _Chosen]) -> _Chosen | None:
    action, text = chosen.get(decision_key(finding), ("", ""))
    if action not in ACTIONS or (action == KEEP and finding.waived is None):
        return None
    return action, text


def _told(rule: str, subject: str | None, decision: _Chosen, by: str) -> dict[str, str | None]:
    action, text = decision
    told = {"rule": rule, "subject": subject, "action": action, "text": text or None, "by": by or None}
    return {name: value for name, value in told.items() if value is not None}
