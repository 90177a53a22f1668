"""The results of a SARIF run."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import PurePath, PureWindowsPath
from typing import Any, Final
from urllib.parse import quote

from changeout.domain.findings import Figure, Finding, Outcome
from changeout.render.amounts import figure_words
from changeout.render.located import LocatedReport
from changeout.render.report_json import finite
from changeout.render.safe_text import printable

FINGERPRINT: Final = "changeoutFinding/v1"
"""The name of the fingerprint: of rule, subject, edition and local ruleset, so it stays when lines move."""

_KINDS: Final = {
    Outcome.VIOLATION: ("fail", "error"),
    Outcome.UNDETERMINED: ("open", "none"),
    Outcome.CONDITIONAL: ("review", "none"),
    Outcome.ADVISORY: ("fail", "note"),
    Outcome.SATISFIED: ("pass", "none"),
    Outcome.NOT_APPLICABLE: ("notApplicable", "none"),
}
"""Kind and level by outcome; the level is none wherever the kind is not fail (SARIF 2.1.0, section 3.27.10)."""

_LINK: Final = re.compile(r"\[([^\[\]]*)\]\(")
_MOST_RELATED: Final = 20


def file_address(file: str) -> str:
    """Return a file's name as a relative or absolute URI reference."""
    path = PureWindowsPath(file) if "\\" in file else PurePath(file)
    if path.is_absolute():
        return path.as_uri()
    first, *rest = path.as_posix().split("/")
    # A colon in the first part would make it a scheme.
    return "/".join([quote(first, safe=""), *(quote(part, safe="") for part in rest)])


def message_text(text: str) -> str:
    """Return *text* as a SARIF message: braces doubled, nothing in it a link (SARIF 2.1.0, sections 3.11.5, 3.11.6)."""
    shown = printable(text).replace("{", "{{").replace("}", "}}")
    return _LINK.sub(lambda found: f"\\[{found[1]}\\](", shown)


def result_objects(
    located: LocatedReport, findings: Sequence[Finding], rules: Mapping[str, int], *, suppressing: bool
) -> Iterator[dict[str, Any]]:
    """Yield a result for each finding; *rules* has their places among the run's rules.

    *suppressing* says that some result of the run is suppressed, so that all must say whether they are.
    """
    seen: Counter[str] = Counter()
    for finding in findings:
        kind, level = _KINDS[finding.outcome]
        mark = _fingerprint(finding)
        seen[mark] += 1
        result: dict[str, Any] = {
            "ruleId": finding.rule,
            "ruleIndex": rules[finding.rule],
            "kind": kind,
            "level": level,
            "message": {"text": _message(finding)},
            "locations": [_location(located, finding)],
            "partialFingerprints": {FINGERPRINT: f"{mark}:{seen[mark]}"},
            "properties": _properties(finding),
        }
        related = _related(located, finding)
        if related:
            result["relatedLocations"] = related
        if suppressing:
            result["suppressions"] = _suppressions(finding)
        yield result


def _fingerprint(finding: Finding) -> str:
    reference = finding.reference
    told = "\0".join((finding.rule, finding.subject, reference.edition, reference.local or ""))
    return hashlib.sha256(told.encode()).hexdigest()


def _message(finding: Finding) -> str:
    section = f" ({finding.reference.edition}, {finding.reference.section})" if finding.reference.section else ""
    return message_text(f"{finding.message}{section}")


def _location(located: LocatedReport, finding: Finding) -> dict[str, Any]:
    """Return the place of the subject, else of the first input, else the start of the file."""
    pointer = finding.subject or next(iter(finding.inputs), "")
    return {
        "physicalLocation": _physical(located, pointer),
        "logicalLocations": [{"fullyQualifiedName": pointer, "name": pointer.rpartition("/")[2]}],
    }


def _related(located: LocatedReport, finding: Finding) -> list[dict[str, Any]]:
    pointers = [p for p in dict.fromkeys((*finding.subjects, *finding.inputs)) if p != finding.subject]
    return [
        {
            "id": number,
            "message": {"text": pointer},
            "physicalLocation": _physical(located, pointer),
            "logicalLocations": [{"fullyQualifiedName": pointer}],
        }
        for number, pointer in enumerate(pointers[:_MOST_RELATED], 1)
    ]


def _physical(located: LocatedReport, pointer: str) -> dict[str, Any]:
    line, column = located.locate(pointer) if located.locate is not None else (1, 1)
    return {
        "artifactLocation": {"uri": file_address(located.file)},
        "region": {"startLine": line, "startColumn": column},
    }


def _properties(finding: Finding) -> dict[str, Any]:
    return {
        "outcome": finding.outcome.value,
        "advice": finding.advice.value if finding.advice else None,
        "basis": finding.basis.value,
        "reviewed": finding.reviewed.value,
        "found": _figure(finding.found),
        "required": _figure(finding.required),
        "missing": list(finding.missing),
        "remedies": [remedy.text for remedy in finding.remedies],
        "cautions": list(finding.cautions),
        "condition": finding.condition,
    }


def _figure(figure: Figure | None) -> dict[str, Any] | None:
    if figure is None:
        return None
    return {"text": figure_words(figure), "low": finite(figure.low), "high": finite(figure.high), "unit": figure.unit}


def _suppressions(finding: Finding) -> list[dict[str, Any]]:
    waived = finding.waived
    if waived is None:
        return []
    until = f" Until {waived['expires_on']}." if waived.get("expires_on") else ""
    return [
        {
            "kind": "external",
            "status": "accepted",
            "justification": printable(f"{waived['reason']} Granted by {waived['granted_by']}.{until}"),
        }
    ]
