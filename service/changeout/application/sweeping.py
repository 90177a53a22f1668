"""What each of several values of one member would make of the rules that it decides."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from changeout.application.json_edit import setting
from changeout.application.judgement import Judgement
from changeout.application.service import Service
from changeout.application.what_if import patched, what_if
from changeout.domain.findings import Outcome, Question, Threshold
from changeout.intake.naming import ProposalMembers
from changeout.review.remedies import outcomes_of

MOST_RULES: Final = 6
"""How many rules are shown."""

_SHARES: Final = (0.25, 0.5, 0.75, 0.9, 1.0, 1.1, 1.25, 1.5, 2.0)
_STEPS: Final = (-4, -3, -2, -1, 0, 1, 2, 3, 4)
_GRAVITY: Final = {outcome: place for place, outcome in enumerate(Outcome)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One value, as a proposal writes it, and what it makes: None where a proposal cannot have it.

    *holds* says whether it lies on the threshold's own side.
    """

    value: str
    holds: bool
    verdict: str | None
    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """A question's member over several values, the rules it decides, and the outcome of each."""

    question: Question
    label: str
    rules: tuple[tuple[str, str], ...]
    tried: tuple[Tried, ...]


def sweep_of(service: Service, judgement: Judgement, question: Question, edition: str | None) -> Sweep | None:
    """Return what values on both sides of a question's threshold make; None where it has no threshold.

    Raises:
        Refusal: if the document has no place for the member.
    """
    if question.threshold is None:
        return None
    members = ProposalMembers()
    numbers = _numbers(question.threshold)
    written = [members.written(question.pointer, number) for number in numbers]
    document = _with_place(judgement.read.document, question.pointer)
    request = {"proposal": document, "edition": edition, "sweep": {"pointer": question.pointer, "values": written}}
    told = what_if(service, json.dumps(request).encode())["variants"]
    titles = {finding.rule: finding.title for finding in judgement.report.findings}
    rules = tuple((rule, titles[rule]) for rule in question.decides if rule in titles)[:MOST_RULES]
    base = outcomes_of(judgement.report.findings)
    return Sweep(
        question=question,
        label=members.label(question.pointer),
        rules=rules,
        tried=tuple(
            _tried(value, variant, [rule for rule, _ in rules], base, holds=_holds(question.threshold, number))
            for number, value, variant in zip(numbers, written, told, strict=True)
        ),
    )


def _with_place(document: Mapping[str, Any], pointer: str) -> Any:  # noqa: ANN401 - any JSON value
    """Return the document with the objects that lead to a member, so that the member can be set."""
    operation = setting(document, pointer, None)
    return patched(document, [operation], "") if operation["path"] != pointer else document


def _numbers(threshold: Threshold) -> list[float]:
    if threshold.unit == "count":
        return [threshold.value + step for step in _STEPS if threshold.value + step >= 0]
    return [float(f"{threshold.value * share:.4g}") if share != 1.0 else threshold.value for share in _SHARES]


def _holds(threshold: Threshold, number: float) -> bool:
    return number >= threshold.value if threshold.relation == ">=" else number <= threshold.value


def _tried(
    value: object,
    variant: Mapping[str, Any],
    rules: list[str],
    base: Mapping[tuple[str, str], Outcome],
    *,
    holds: bool,
) -> Tried:
    if "unreadable" in variant:
        return Tried(value=str(value), holds=holds, verdict=None, outcomes=())
    after: dict[tuple[str, str], Outcome | None] = dict(base)
    for move in variant["moved"]:
        after[move["rule"], move["subject"]] = Outcome(move["after"]) if move["after"] else None
    return Tried(
        value=str(value),
        holds=holds,
        verdict=variant["verdict"],
        outcomes=tuple(_gravest(rule, after) for rule in rules),
    )


def _gravest(rule: str, outcomes: Mapping[tuple[str, str], Outcome | None]) -> Outcome:
    said = [outcome for (name, _), outcome in outcomes.items() if name == rule and outcome is not None]
    return min(said, key=_GRAVITY.__getitem__, default=Outcome.NOT_APPLICABLE)
