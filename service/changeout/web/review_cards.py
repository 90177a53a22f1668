"""The findings of a report as a reviewer works through them: grouped by outcome, with lines, remedies and decisions."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from changeout.domain.findings import Advice, Finding, Outcome, Report
from changeout.domain.proposal import Proposal
from changeout.intake.naming import ProposalMembers
from changeout.render.amounts import figure_words
from changeout.render.documents.decisions import decidable
from changeout.render.finding_card import LABELS, confirmation, section_text, waiver_words
from changeout.render.groups import Group, by_reason, grouped
from changeout.render.places import place_name, place_names
from changeout.web.review_lines import Rest

_INSPECTION: Final = "inspection"
_PARTS: Final = (
    ("corrections", "Corrections", "To be corrected before the work can be approved."),
    ("waived", "Violations that a waiver sets aside", ""),
    ("open", "What cannot be told yet", "Each needs a fact that is not stated."),
    ("conditions", "Conditions, before the equipment is energized", ""),
    ("near", "Close to the limit", "These hold, but not by much."),
    ("advice", "Further advice", ""),
    (_INSPECTION, "To be seen at inspection", ""),
)
_LABELS: Final = {**LABELS, Outcome.VIOLATION: "Correction", Outcome.UNDETERMINED: "Open"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """A remedy: its words, what else it changes, and its patch as JSON, empty where no document change can show it."""

    text: str
    effects: tuple[str, ...]
    patch: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """One finding among several of a rule: its place in the report, what it is about, and the lines it rests on."""

    index: int
    name: str
    message: str
    rests: tuple[Rest, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """Findings of one rule and one outcome. *key* is what a decision on them goes by, empty where there can be none."""

    index: int
    key: str
    is_waived: bool
    tone: str
    label: str
    title: str
    rule: str
    section: str
    message: str
    figures: tuple[tuple[str, str], ...]
    subjects: tuple[Subject, ...]
    mends: tuple[Mend, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    copy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """The cards of one kind, with a heading and what it means."""

    id: str
    title: str
    intro: str
    cards: tuple[Card, ...]
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """A reason why rules do not apply, and those rules."""

    text: str
    rules: tuple[tuple[str, str], ...]


def parts_of(report: Report, proposal: Proposal, rests: Sequence[tuple[Rest, ...]]) -> tuple[Part, ...]:
    """Return what is to be worked through, the gravest first. What is satisfied or does not apply is not in it."""
    places = {id(finding): place for place, finding in enumerate(report.findings)}
    kept: dict[str, list[Finding]] = {name: [] for name, _, _ in _PARTS}
    for finding in report.findings:
        name = _part_of(finding)
        if name is not None:
            kept[name].append(finding)
    return tuple(
        Part(
            id=name,
            title=title,
            intro=intro,
            cards=tuple(_card(group, proposal, places, rests) for group in grouped(kept[name])),
            count=len(kept[name]),
        )
        for name, title, intro in _PARTS
        if kept[name]
    )


def satisfied_of(report: Report, proposal: Proposal, rests: Sequence[tuple[Rest, ...]]) -> tuple[Card, ...]:
    """Return what is satisfied, by rule."""
    places = {id(finding): place for place, finding in enumerate(report.findings)}
    held = (finding for finding in report.findings if finding.outcome is Outcome.SATISFIED)
    return tuple(_card(group, proposal, places, rests) for group in grouped(held))


def reasons_of(report: Report) -> tuple[Reason, ...]:
    """Return what does not apply, by its reason."""
    idle = [finding for finding in report.findings if finding.outcome is Outcome.NOT_APPLICABLE]
    return tuple(
        Reason(text=text, rules=tuple(dict.fromkeys((f.reference.section or "no section", f.title) for f in same)))
        for text, same in by_reason(idle)
    )


def decision_key(finding: Finding) -> str:
    """Return what a decision on a finding and those like it goes by."""
    advice = finding.advice.value if finding.advice else ""
    return f"{finding.rule}:{finding.outcome.value}:{'waived' if finding.waived else advice}"


def _part_of(finding: Finding) -> str | None:
    if finding.outcome is Outcome.VIOLATION:
        return "corrections" if finding.waived is None else "waived"
    if finding.outcome is Outcome.ADVISORY:
        return {Advice.NEAR_LIMIT: "near", Advice.INSPECTION: _INSPECTION}.get(
            finding.advice or Advice.PRACTICE, "advice"
        )
    return {Outcome.UNDETERMINED: "open", Outcome.CONDITIONAL: "conditions"}.get(finding.outcome)


def _card(group: Group, proposal: Proposal, places: Mapping[int, int], rests: Sequence[tuple[Rest, ...]]) -> Card:
    first = group.first
    said = group.messages
    notes = [*dict.fromkeys(filter(None, map(waiver_words, group.findings))), *filter(None, [confirmation(first)])]
    return Card(
        index=places[id(first)],
        key=decision_key(first) if decidable(first) else "",
        is_waived=first.waived is not None,
        tone=first.outcome.value,
        label=_LABELS[first.outcome],
        title=first.title,
        rule=first.rule,
        section=section_text(first),
        message=said[0][0] if len(said) == 1 else "",
        figures=_figures(group),
        subjects=tuple(
            Subject(
                index=places[id(finding)],
                name=_name(finding, proposal),
                message=finding.message if len(said) > 1 else "",
                rests=rests[places[id(finding)]],
            )
            for finding in group.findings
        ),
        mends=_mends(group, proposal),
        notes=tuple(notes),
        cautions=group.cautions,
        copy=copy_text(group, proposal),
    )


def _name(finding: Finding, proposal: Proposal) -> str:
    if len(finding.subjects) > 1:
        name = place_names(finding.subjects, proposal)
    else:
        name = place_name(finding.subject, proposal)
        if name == finding.subject and name:
            name = ProposalMembers().label(name)
    return f"{name[:1].upper()}{name[1:]}"


def _mends(group: Group, proposal: Proposal) -> tuple[Mend, ...]:
    several = len(group.findings) > 1
    return tuple(
        Mend(
            text=f"{remedy.text} ({place_names(subjects, proposal)})"
            if several and len(subjects) < len(group.findings)
            else remedy.text,
            effects=remedy.effects,
            patch=json.dumps([dict(one) for one in remedy.patch], ensure_ascii=False) if remedy.patch else "",
        )
        for remedy, subjects in group.remedies
    )


def _figures(group: Group) -> tuple[tuple[str, str], ...]:
    shown = []
    for name, figures in (
        ("Found", [f.found for f in group.findings]),
        ("Required", [f.required for f in group.findings]),
    ):
        figure = figures[0]
        if figure is not None and all(other == figure for other in figures):
            shown.append((name, figure_words(figure)))
    return tuple(shown)


def copy_text(group: Group, proposal: Proposal) -> str:
    """Return findings as plain text, to be pasted into a letter."""
    first = group.first
    lines = [f"{_LABELS[first.outcome]}: {first.title} ({section_text(first)})"]
    for message, subjects in group.messages:
        listed = any(place_name(subject) != subject for subject in subjects)
        lines.append(f"{message} At: {place_names(subjects, proposal)}." if listed else message)
    lines += [f"{name}: {words}" for name, words in _figures(group)]
    lines += [f"Remedy: {mend.text}" for mend in _mends(group, proposal)]
    lines += [f"Caution: {caution}" for caution in group.cautions]
    return "\n".join(lines)
