"""The same proposal under several rulesets: what differs, and which change of the rules made it differ."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from changeout.domain.findings import Finding, Outcome, Report
from changeout.review.row_changes import change_in_words, kinds_of_change
from changeout.review.ruleset import Ruleset

NOT_COMPARED = frozenset({"edition-in-force-on-application-date"})
"""A comparison claims no edition to be in force."""

_ORDER = {outcome: place for place, outcome in enumerate(Outcome)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One ruleset of a comparison with the report it gives. ``label`` is what the table calls it."""

    label: str
    ruleset: Ruleset
    report: Report


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """How a rule's row differs between two neighbouring sides, in words, with the source of the later row."""

    since: str
    until: str
    kinds: tuple[str, ...]
    text: str
    source: str
    reviewed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A rule that answers differently, with its gravest finding on each side and what changed in between.

    ``outcome_differs`` is false where only the section or the value required is another.
    """

    rule: str
    title: str
    answers: Mapping[str, Finding | None]
    changes: tuple[Change, ...]
    outcome_differs: bool


def differences(sides: Sequence[Side]) -> tuple[Difference, ...]:
    """Return the rules whose outcome, section or required value is not the same on all sides.

    Those whose outcome differs come first, then those that require another value, then those that only stand in
    another section; among each the rules' own order.
    """
    names = dict.fromkeys(name for side in sides for name in side.ruleset.edition.rows)
    found = [(name, {side.label: _gravest(side.report, name) for side in sides}) for name in names]
    differing = [(name, answers) for name, answers in found if name not in NOT_COMPARED and _differ(answers, _shown)]
    differing.sort(key=lambda one: (not _differ(one[1], _outcome), not _differ(one[1], _required)))
    return tuple(
        Difference(
            rule=name,
            title=next(side.ruleset.rules[name].title for side in sides if name in side.ruleset.rules),
            answers=answers,
            changes=_changes(sides, name),
            outcome_differs=_differ(answers, _outcome),
        )
        for name, answers in differing
    )


def _differ(answers: Mapping[str, Finding | None], aspect: Callable[[Finding | None], object]) -> bool:
    return len({aspect(answer) for answer in answers.values()}) > 1


def _gravest(report: Report, rule: str) -> Finding | None:
    return min((f for f in report.findings if f.rule == rule), key=lambda f: _ORDER[f.outcome], default=None)


def _outcome(finding: Finding | None) -> object:
    return finding.outcome if finding else None


def _required(finding: Finding | None) -> object:
    required = finding.required if finding else None
    return (required.low, required.high, required.text) if required else None


def _shown(finding: Finding | None) -> object:
    return _outcome(finding), _required(finding), finding.reference.section if finding else None


def _changes(sides: Sequence[Side], rule: str) -> tuple[Change, ...]:
    found = []
    for before, after in itertools.pairwise(sides):
        old, new = before.ruleset.edition.rows.get(rule), after.ruleset.edition.rows.get(rule)
        if new is None:
            continue
        kinds = tuple(kinds_of_change(old, new))
        if kinds:
            found.append(
                Change(
                    since=before.label,
                    until=after.label,
                    kinds=kinds,
                    text=change_in_words(old, new, kinds),
                    source=new.local_note or new.source,
                    reviewed=new.reviewed.value,
                )
            )
    return tuple(found)
