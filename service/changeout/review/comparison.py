"""The same proposal under several rulesets: what differs, and which change of the rules made it differ."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from changeout.domain.findings import Finding, Outcome, Report
from changeout.editions.rows import Parameter, Row
from changeout.review.catalogue import kinds_of_change
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
    """A rule that answers differently, with its gravest finding on each side and what changed in between."""

    rule: str
    title: str
    answers: Mapping[str, Finding | None]
    changes: tuple[Change, ...]


def differences(sides: Sequence[Side]) -> tuple[Difference, ...]:
    """Return the rules whose outcome, section or required value is not the same on all sides, in the rules' order."""
    names = dict.fromkeys(name for side in sides for name in side.ruleset.edition.rows)
    found = []
    for name in names:
        if name in NOT_COMPARED:
            continue
        answers = {side.label: _gravest(side.report, name) for side in sides}
        if len({_shown(answer) for answer in answers.values()}) > 1:
            titles = [side.ruleset.rules[name].title for side in sides if name in side.ruleset.rules]
            found.append(Difference(rule=name, title=titles[0], answers=answers, changes=_changes(sides, name)))
    return tuple(found)


def _gravest(report: Report, rule: str) -> Finding | None:
    return min((f for f in report.findings if f.rule == rule), key=lambda f: _ORDER[f.outcome], default=None)


def _shown(finding: Finding | None) -> object:
    if finding is None:
        return None
    required = finding.required
    return (finding.outcome, finding.reference.section, (required.low, required.high) if required else None)


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
                    text=_in_words(old, new, kinds),
                    source=new.local_note or new.source,
                    reviewed=new.reviewed.value,
                )
            )
    return tuple(found)


def _in_words(old: Row | None, new: Row, kinds: tuple[str, ...]) -> str:
    parts = []
    if "new" in kinds:
        parts.append(f"asked from here on, {new.section or 'without a section'}")
    if "gone" in kinds:
        parts.append("no longer asked")
    if "effect" in kinds and old is not None:
        parts.append(f"{old.effect.value} before, {new.effect.value} now")
    if "renumbered" in kinds and old is not None:
        parts.append(f"{_place(old)} before, {_place(new)} now")
    if old is not None:
        for name in dict.fromkeys((*old.parameters, *new.parameters)):
            was, now = _value(old.parameters.get(name)), _value(new.parameters.get(name))
            if was != now:
                parts.append(f"{name.replace('_', ' ')}: {was} before, {now} now")
    text = "; ".join(parts)
    return text[:1].upper() + text[1:] + "."


def _place(row: Row) -> str:
    return ", ".join((row.section or "no section", *row.also))


def _value(parameter: Parameter | None) -> str:
    if parameter is None:
        return "not set"
    value = parameter.value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(f"{v:g}" if isinstance(v, float) else str(v) for v in value) or "none"
    text = f"{value:g}" if isinstance(value, float) else str(value)
    return f"{text} {parameter.unit}" if parameter.unit else text
