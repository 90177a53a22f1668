"""The rules of a SARIF run: only those that have a result, with their words and how they are known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from changeout.domain.findings import Finding
from changeout.render.located import LocatedReport


def rule_objects(chosen: Iterable[tuple[LocatedReport, Sequence[Finding]]]) -> list[dict[str, Any]]:
    """Return the reporting descriptors of the rules of these findings, in the order in which each first comes."""
    rules: dict[str, dict[str, Any]] = {}
    for located, findings in chosen:
        for finding in findings:
            if finding.rule not in rules:
                rules[finding.rule] = _rule(finding, located.rule_pages.get(finding.rule, {}))
    return list(rules.values())


def _rule(finding: Finding, page: Mapping[str, Any]) -> dict[str, Any]:
    reference = finding.reference
    rule: dict[str, Any] = {
        "id": finding.rule,
        "shortDescription": {"text": f"{finding.title}."},
        "fullDescription": {"text": _full(finding, page)},
        "help": {"text": _help(finding, page)},
        "properties": {
            "section": reference.section,
            "also": list(reference.also),
            "edition": reference.edition,
            "local": reference.local,
            "reviewed": finding.reviewed.value,
            **({"source": page["source"]} if page.get("source") else {}),
        },
    }
    return rule


def _full(finding: Finding, page: Mapping[str, Any]) -> str:
    because = f" Because {page['because']}" if page.get("because") else ""
    return f"{finding.title}.{because}"


def _help(finding: Finding, page: Mapping[str, Any]) -> str:
    """Return when the rule passes, fails and cannot tell, as far as its page was given."""
    told = [
        f"{name}: {page[key]}"
        for name, key in (("Passes", "passes"), ("Fails", "fails"), ("Cannot tell", "cannot_tell"))
        if page.get(key)
    ]
    section = finding.reference.section or "no section"
    return "\n".join([*told, f"Edition {finding.reference.edition}, {section}."])
