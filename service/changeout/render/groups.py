"""Findings gathered for reading: those of one rule together, and the reasons why rules do not apply."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from changeout.domain.findings import Advice, Finding, Outcome, Question, Remedy


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The findings of one rule with one outcome, at least one."""

    findings: tuple[Finding, ...]

    @property
    def first(self) -> Finding:
        """The finding that speaks for all in what they have in common."""
        return self.findings[0]

    @property
    def messages(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Each message once, with the subjects that it was said of."""
        said: dict[str, list[str]] = {}
        for finding in self.findings:
            said.setdefault(finding.message, []).extend(finding.subjects or (finding.subject,))
        return tuple((message, tuple(subjects)) for message, subjects in said.items())

    @property
    def cautions(self) -> tuple[str, ...]:
        """Each caution once."""
        return tuple(dict.fromkeys(caution for finding in self.findings for caution in finding.cautions))

    @property
    def remedies(self) -> tuple[tuple[Remedy, tuple[str, ...]], ...]:
        """Each remedy once, with the subjects that it is for."""
        found: dict[str, tuple[Remedy, list[str]]] = {}
        for finding in self.findings:
            for remedy in finding.remedies:
                found.setdefault(remedy.text, (remedy, []))[1].append(finding.subject)
        return tuple((remedy, tuple(subjects)) for remedy, subjects in found.values())

    @property
    def missing(self) -> tuple[str, ...]:
        """Each missing member once."""
        return tuple(dict.fromkeys(pointer for finding in self.findings for pointer in finding.missing))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sorted:
    """The findings of a report by what a reader does with them, in the order in which they are read."""

    violations: tuple[Finding, ...]
    waived: tuple[Finding, ...]
    undetermined: tuple[Finding, ...]
    conditional: tuple[Finding, ...]
    near_limit: tuple[Finding, ...]
    advice: tuple[Finding, ...]
    inspection: tuple[Finding, ...]
    satisfied: tuple[Finding, ...]
    not_applicable: tuple[Finding, ...]


_PARTS = {
    Outcome.UNDETERMINED: "undetermined",
    Outcome.CONDITIONAL: "conditional",
    Outcome.SATISFIED: "satisfied",
    Outcome.NOT_APPLICABLE: "not_applicable",
}
_ADVISED = {Advice.NEAR_LIMIT: "near_limit", Advice.INSPECTION: "inspection"}


def sorted_findings(findings: Iterable[Finding]) -> Sorted:
    """Return the findings by part of a report, each once, in the report's order within a part."""
    parts: dict[str, list[Finding]] = {name: [] for name in Sorted.__dataclass_fields__}
    for finding in findings:
        parts[_part(finding)].append(finding)
    return Sorted(**{name: tuple(found) for name, found in parts.items()})


def _part(finding: Finding) -> str:
    if finding.outcome is Outcome.VIOLATION:
        return "violations" if finding.waived is None else "waived"
    if finding.outcome is Outcome.ADVISORY:
        return _ADVISED.get(finding.advice, "advice") if finding.advice is not None else "advice"
    return _PARTS[finding.outcome]


def alike(questions: Iterable[Question]) -> tuple[tuple[Question, ...], ...]:
    """Return questions that ask the same of several places together, in the order of the first."""
    asked: dict[tuple[str, tuple[str, ...]], list[Question]] = {}
    for question in questions:
        asked.setdefault((question.ask, question.decides), []).append(question)
    return tuple(tuple(same) for same in asked.values())


def asked_words(questions: Sequence[Question]) -> str:
    """Return what several questions ask alike, and what the answers settle."""
    first = questions[0]
    settled, rules = sum(question.settles for question in questions), len(first.decides)
    bears_on = f"It settles {_many(settled, 'finding')}." if settled else f"It bears on {_many(rules, 'rule')}."
    return f"{first.ask} {bears_on}"


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def grouped(findings: Iterable[Finding]) -> tuple[Group, ...]:
    """Return the findings by rule and outcome, in the order in which each first comes."""
    found: dict[tuple[str, Outcome, Advice | None], list[Finding]] = {}
    for finding in findings:
        found.setdefault((finding.rule, finding.outcome, finding.advice), []).append(finding)
    return tuple(Group(findings=tuple(same)) for same in found.values())


def counted(groups: Sequence[Group]) -> str:
    """Return how many findings there are, and in how many entries a list shows them where these are fewer."""
    number = sum(len(group.findings) for group in groups)
    return f"{number}" if number == len(groups) else f"{number}, in {_many(len(groups), 'check')}"


def by_reason(findings: Sequence[Finding]) -> tuple[tuple[str, tuple[Finding, ...]], ...]:
    """Return findings by what they say, those of the commonest reason first, then as they come."""
    found: dict[str, list[Finding]] = {}
    for finding in findings:
        found.setdefault(finding.message, []).append(finding)
    gathered = [(message, tuple(same)) for message, same in found.items()]
    return tuple(sorted(gathered, key=lambda entry: -len(entry[1])))
