"""The reviewer's way through a proposal: from a text and what was chosen to a judgement and what became of the text."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from changeout.application.answering import read_answer
from changeout.application.compare import comparison_of
from changeout.application.json_edit import edited, laid_out, one_kind_of_line_break, setting
from changeout.application.judgement import Judgement, judge
from changeout.application.service import Service
from changeout.application.sweeping import Sweep, sweep_of
from changeout.domain.problems import Refusal
from changeout.intake.naming import ProposalMembers
from changeout.intake.reader import MOST_BYTES, decode, parse
from changeout.review.ruleset import Ruleset

LONGEST_LINE: Final = 300
"""Characters from which a line is too long to show what a finding rests on, so that the document is laid out anew."""

_JURISDICTION: Final = "/project/jurisdiction"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a reviewer sends: the document, and what to do with it.

    *jurisdiction* is one chosen beside the document, empty to name none, None to leave it as it is. *answers* are
    the texts given for members by pointer, *patch* the RFC 6902 text of a remedy, *sweep* the pointer of a question.
    """

    body: bytes
    edition: str | None = None
    jurisdiction: str | None = None
    answers: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    patch: str | None = None
    compare: bool = False
    sweep: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reviewed:
    """What came of it: the text as it is now, its judgement or why there is none.

    *notes* say what was changed in the text, *before* is the text before that; *untaken* are the reasons why answers
    were not taken, by pointer.
    """

    text: str
    judgement: Judgement | None = None
    refusal: Refusal | None = None
    notes: tuple[str, ...] = ()
    before: str | None = None
    untaken: Mapping[str, str] = field(default_factory=dict)
    comparison: Mapping[str, Any] | None = None
    sweep: Sweep | None = None


@dataclass(slots=True)
class _Text:
    """The text on its way: what it is now, what was done to it, and which answers were not taken."""

    now: str
    notes: list[str] = field(default_factory=list)
    untaken: dict[str, str] = field(default_factory=dict)


def review_of(service: Service, asked: Asked) -> Reviewed:
    """Return the review of what was sent. Nothing that can be sent raises; a refusal is part of the answer."""
    shown = one_kind_of_line_break(asked.body.decode("utf-8", "replace"))
    changes = asked.jurisdiction is not None or bool(asked.answers) or asked.patch is not None
    try:
        decode(asked.body)
        text = _readable_lines(shown)
        judgement = judge(service, text.encode(), edition=asked.edition, detail="findings" if changes else "full")
    except Refusal as refused:
        return _unread(service, shown, refused, asked)
    changed = _Text(text, [] if text == shown else ["The lines were long, so the document was laid out anew."])
    refusals = [_choose_jurisdiction(service, changed, asked)]
    _answer(service, changed, asked)
    refusals.append(_remedy(service, changed, asked))
    if changes:
        judgement = judge(service, changed.now.encode(), edition=asked.edition)
    sweep = None
    try:
        sweep = _sweep(service, judgement, asked)
    except Refusal as refused:
        refusals.append(refused)
    return Reviewed(
        text=changed.now,
        judgement=judgement,
        refusal=next(filter(None, refusals), None),
        notes=tuple(changed.notes),
        before=text if changed.now != text else None,
        untaken=changed.untaken,
        comparison=comparison_of(judgement.read, _beside(service, judgement)) if asked.compare else None,
        sweep=sweep,
    )


def _unread(service: Service, text: str, refused: Refusal, asked: Asked) -> Reviewed:
    """Return the refusal, with its places in the text as it is shown; a jurisdiction that was chosen may mend it."""
    if refused.problem.code != "unreadable-proposal":
        return Reviewed(text=text, refusal=refused)
    text = _readable_lines(text)
    changed = _Text(text)
    _choose_jurisdiction(service, changed, asked)
    if changed.now == text:
        return Reviewed(text=text, refusal=refused)
    judgement = judge(service, changed.now.encode(), edition=asked.edition)
    return Reviewed(text=changed.now, judgement=judgement, notes=tuple(changed.notes), before=text)


def _readable_lines(text: str) -> str:
    """Return the text, laid out anew where a line of it is too long to point at."""
    if all(len(line) <= LONGEST_LINE for line in text.split("\n")):
        return text
    anew = laid_out(parse(text))
    return anew if len(anew.encode()) <= MOST_BYTES else text


def _choose_jurisdiction(service: Service, text: _Text, asked: Asked) -> Refusal | None:
    """Write the jurisdiction into the text; return why it cannot be."""
    if asked.jurisdiction is None:
        return None
    named = asked.jurisdiction or "none"
    try:
        operation = setting(parse(text.now), _JURISDICTION, asked.jurisdiction or None)
    except Refusal as refused:
        return refused
    return _take(service, text, [operation], f"Jurisdiction: {named}, written at {_JURISDICTION}.", asked)


def _answer(service: Service, text: _Text, asked: Asked) -> None:
    """Write the answers into the text, one after the other; what cannot be taken is told and left out."""
    members = ProposalMembers()
    for pointer, given in asked.answers.items():
        value = read_answer(pointer, given)
        said = json.dumps(value, ensure_ascii=False)
        try:
            operation = setting(parse(text.now), pointer, value)
        except Refusal as refused:
            text.untaken[pointer] = refused.detail
            continue
        failed = _take(service, text, [operation], f"{members.label(pointer)}: {said}, written at {pointer}.", asked)
        if failed is not None:
            text.untaken[pointer] = _reason(failed, pointer)


def _remedy(service: Service, text: _Text, asked: Asked) -> Refusal | None:
    if asked.patch is None:
        return None
    try:
        patch = parse(asked.patch)
    except Refusal as refused:
        return refused
    if not isinstance(patch, list) or not all(isinstance(one, dict) for one in patch):
        return Refusal("unreadable-request", "A remedy is a list of operations.")
    words = "; ".join(
        f"{one.get('path')}: {json.dumps(one['value'], ensure_ascii=False)}" if "value" in one else str(one.get("path"))
        for one in patch
    )
    return _take(service, text, patch, f"Remedy applied: {words[:LONGEST_LINE]}.", asked)


def _take(service: Service, text: _Text, patch: Sequence[Mapping[str, Any]], note: str, asked: Asked) -> Refusal | None:
    """Change the text if what comes of it is a proposal that can be judged; return why not."""
    try:
        changed = edited(text.now, patch)
        judge(service, changed.encode(), edition=asked.edition, detail="findings")
    except Refusal as refused:
        return refused
    if changed != text.now:
        text.now = changed
        text.notes.append(note)
    return None


def _reason(refused: Refusal, pointer: str) -> str:
    error = next(
        (e for e in refused.errors if pointer in (e.pointer, *e.also) or e.pointer.startswith(f"{pointer}/")), None
    )
    if error is None:
        return refused.detail
    return f"{error.detail} Perhaps {error.suggestion}?" if error.suggestion else error.detail


def _beside(service: Service, judgement: Judgement) -> dict[str, Ruleset]:
    """Return every edition, and the local ruleset that judged where there is one."""
    found: dict[str, Ruleset] = dict(service.rulesets)
    if judgement.report.jurisdiction is not None:
        found[f"{judgement.report.jurisdiction} {judgement.ruleset.edition.name}"] = judgement.ruleset
    return found


def _sweep(service: Service, judgement: Judgement, asked: Asked) -> Sweep | None:
    question = next((q for q in judgement.report.questions if q.pointer == asked.sweep), None)
    return sweep_of(service, judgement, question, asked.edition) if question is not None else None
