"""Findings gathered for reading: those of one rule together, and the reasons why rules do not apply."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from changeout.domain.findings import Advice, Finding, Outcome, Remedy


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


def grouped(findings: Iterable[Finding]) -> tuple[Group, ...]:
    """Return the findings by rule and outcome, in the order in which each first comes."""
    found: dict[tuple[str, Outcome, Advice | None], list[Finding]] = {}
    for finding in findings:
        found.setdefault((finding.rule, finding.outcome, finding.advice), []).append(finding)
    return tuple(Group(findings=tuple(same)) for same in found.values())


def by_reason(findings: Sequence[Finding]) -> tuple[tuple[str, tuple[Finding, ...]], ...]:
    """Return findings by what they say, those of the commonest reason first, then as they come."""
    found: dict[str, list[Finding]] = {}
    for finding in findings:
        found.setdefault(finding.message, []).append(finding)
    gathered = [(message, tuple(same)) for message, same in found.items()]
    return tuple(sorted(gathered, key=lambda entry: -len(entry[1])))
