"""What a reviewer decides of a finding before the correction letter is written."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from changeout.domain.findings import Finding, Outcome
from changeout.render.groups import Group

ACTIONS: Final = ("keep", "drop", "defer", "note")
"""Keep it as it is; drop it, with the reason; leave it to the inspection; or keep it with a note."""

NEED_TEXT: Final = frozenset({"drop", "note"})
"""Actions that say why, or what, in words."""

_DECIDABLE: Final = frozenset({Outcome.VIOLATION, Outcome.UNDETERMINED, Outcome.CONDITIONAL, Outcome.ADVISORY})


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """A reviewer's decision on the findings of a rule: on one subject, or (subject None) on all.

    *text* is the reason or the note, *by* who decided where that is not whoever signs the letter.
    """

    rule: str
    subject: str | None
    action: str
    text: str | None
    by: str | None = None

    def is_about(self, finding: Finding) -> bool:
        """Whether the decision is on this finding."""
        return self.rule == finding.rule and self.subject in (None, finding.subject) and decidable(finding)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """Findings of one rule on which the same was decided (None: nothing)."""

    group: Group
    decision: Decision | None

    @property
    def action(self) -> str:
        """What was decided; keep where nothing was."""
        return self.decision.action if self.decision else "keep"

    @property
    def is_set_aside(self) -> bool:
        """Whether the letter asks nothing for it: it was dropped, or it is waived and the reviewer left it so.

        A waiver comes with the applicant's document, so that the reviewer can overrule it: keep or defer does.
        """
        waived = self.group.first.waived is not None
        return self.action == "drop" or (waived and (self.decision is None or self.action == "note"))

    @property
    def who(self) -> str:
        """Who decided, as a sentence says it."""
        by = self.decision.by if self.decision else None
        return f"by {by}" if by else "by the reviewer"

    @property
    def text(self) -> str | None:
        """The reviewer's words."""
        return self.decision.text if self.decision else None


def decidable(finding: Finding) -> bool:
    """Whether a letter says anything of a finding, so that a reviewer can decide on it."""
    return finding.outcome in _DECIDABLE


def decided(findings: Iterable[Finding], decisions: Sequence[Decision]) -> tuple[Decided, ...]:
    """Return the findings that a letter is about, by rule and decision; a decision on one subject goes first."""
    ordered = sorted(decisions, key=lambda decision: decision.subject is None)
    found: dict[tuple[object, ...], tuple[Decision | None, list[Finding]]] = {}
    for finding in findings:
        if decidable(finding):
            decision = next((d for d in ordered if d.is_about(finding)), None)
            key = (finding.rule, finding.outcome, finding.advice, finding.waived is not None, decision)
            found.setdefault(key, (decision, []))[1].append(finding)
    return tuple(Decided(group=Group(findings=tuple(same)), decision=decision) for decision, same in found.values())
