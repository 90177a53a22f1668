"""Expected reports: what a case says a report must hold, and where a report differs from it.

An expectation is a JSON object; what it does not mention is not judged.

- ``verdict``: equal.
- ``findings``: for each, the report's finding with that ``rule`` and, where given, that ``subject``. Without a subject
  the most serious of the rule's findings counts. A satisfied or not-applicable subject may be answered by the finding
  at its array. ``outcome`` is equal. ``section`` is the finding's ``reference.section`` or one of its ``also``.
  ``found`` and ``required``: each of ``value``, ``low``, ``high`` within ``rel`` (0.005 unless stated). ``missing``: all
  of them are among the finding's.
- ``calculations``: by ``id``; ``value``, ``low``, ``high`` of ``result`` within ``rel`` (0.01 unless stated).
- ``questions``: each pointer is among the report's questions; ``first_question``: the first one is one of these.
"""

from __future__ import annotations

from typing import Any

SERIOUSNESS = ("violation", "undetermined", "conditional", "advisory", "satisfied", "not-applicable")
ANSWERED_AT_ARRAY = frozenset({"satisfied", "not-applicable"})
KNOWN_MEMBERS = frozenset({"verdict", "findings", "calculations", "questions", "first_question"})
KNOWN_FINDING_MEMBERS = frozenset({"rule", "subject", "outcome", "section", "found", "required", "missing"})
FIGURE_REL = 0.005
CALCULATION_REL = 0.01


def compare(report: dict[str, Any], expect: dict[str, Any]) -> list[str]:
    """Return every difference between the report and what is expected of it, one sentence each; none if it agrees.

    Raises:
        ValueError: for an expectation with a member that nothing would compare.
    """
    _refuse_unknown(expect, KNOWN_MEMBERS)
    differences: list[str] = []
    if "verdict" in expect and report["verdict"] != expect["verdict"]:
        differences.append(
            f"verdict: expected {expect['verdict']}, got {report['verdict']} ({_holding_verdict(report)})"
        )
    for wanted in expect.get("findings", []):
        differences += _finding_differences(report, wanted)
    for wanted in expect.get("calculations", []):
        differences += _calculation_differences(report, wanted)
    return differences + _question_differences(report, expect)


def _refuse_unknown(expectation: dict[str, Any], known: frozenset[str]) -> None:
    unknown = sorted(set(expectation) - known)
    if unknown:
        raise ValueError(f"an expectation has members that nothing compares: {', '.join(unknown)}")


def _holding_verdict(report: dict[str, Any]) -> str:
    """Name the findings that make the verdict, so that a wrong one can be understood from the message."""
    holding = [
        f"{f['rule']} {f['outcome']} at {f['subject']}" + (f" missing {f['missing']}" if f["missing"] else "")
        for f in report["findings"]
        if f["outcome"] in SERIOUSNESS[:3]
    ]
    return "; ".join(holding) or "no finding holds it"


def _finding_differences(report: dict[str, Any], wanted: dict[str, Any]) -> list[str]:
    _refuse_unknown(wanted, KNOWN_FINDING_MEMBERS)
    name = wanted["rule"] + (f" at {wanted['subject']}" if "subject" in wanted else "")
    finding = answering(report, wanted)
    if finding is None:
        return [f"{name}: no finding"]
    differences: list[str] = []
    if "outcome" in wanted and finding["outcome"] != wanted["outcome"]:
        differences.append(f"{name}: expected {wanted['outcome']}, got {finding['outcome']}: {finding['message']}")
    reference = finding["reference"]
    if "section" in wanted and wanted["section"] not in (reference["section"], *reference["also"]):
        differences.append(
            f"{name}: expected section {wanted['section']}, got {reference['section']} also {reference['also']}"
        )
    for figure in ("found", "required"):
        if figure in wanted:
            differences += _figure_differences(f"{name} {figure}", finding[figure], wanted[figure], FIGURE_REL)
    lacking = [p for p in wanted.get("missing", []) if p not in finding["missing"]]
    if lacking:
        differences.append(f"{name}: expected missing {lacking}, got {finding['missing']}")
    return differences


def answering(report: dict[str, Any], wanted: dict[str, Any]) -> dict[str, Any] | None:
    """Find the report's finding that answers the expectation."""
    of_rule = [f for f in report["findings"] if f["rule"] == wanted["rule"]]
    if "subject" in wanted:
        subject = wanted["subject"]
        exact = [f for f in of_rule if f["subject"] == subject]
        if not exact and wanted.get("outcome") in ANSWERED_AT_ARRAY:
            exact = [f for f in of_rule if f["outcome"] == wanted["outcome"] and _stands_for(f, subject)]
        of_rule = exact
    return min(of_rule, key=lambda f: SERIOUSNESS.index(f["outcome"]), default=None)


def _stands_for(finding: dict[str, Any], subject: str) -> bool:
    """Tell whether a finding at an array answers for one of its elements (or for what lies in that element)."""
    if not subject.startswith(finding["subject"] + "/"):
        return False
    named = finding.get("subjects") or []
    return not named or any(subject == s or subject.startswith(s + "/") for s in named)


def _calculation_differences(report: dict[str, Any], wanted: dict[str, Any]) -> list[str]:
    calculation = next((c for c in report["calculations"] if c["id"] == wanted["id"]), None)
    if calculation is None:
        return [f"calculation {wanted['id']}: none"]
    figures = {k: v for k, v in wanted.items() if k != "id"}
    return _figure_differences(f"calculation {wanted['id']}", calculation["result"], figures, CALCULATION_REL)


def _figure_differences(name: str, got: dict[str, Any] | None, wanted: dict[str, Any], rel: float) -> list[str]:
    rel = wanted.get("rel", rel)
    differences = []
    for bound in ("value", "low", "high"):
        if bound not in wanted:
            continue
        is_number = got is not None and isinstance(got.get(bound), (int, float)) and not isinstance(got[bound], bool)
        if got is None or not is_number:
            differences.append(f"{name}: expected {bound} {wanted[bound]}, got {got}")
        elif abs(got[bound] - wanted[bound]) > rel * abs(wanted[bound]) + 1e-9:
            differences.append(f"{name}: expected {bound} {wanted[bound]} within {rel:.2%}, got {got[bound]}")
    return differences


def _question_differences(report: dict[str, Any], expect: dict[str, Any]) -> list[str]:
    asked = [q["pointer"] for q in report.get("questions", [])]
    differences = [
        f"questions: {pointer} is not asked, only {asked}"
        for pointer in expect.get("questions", [])
        if pointer not in asked
    ]
    first = expect.get("first_question")
    if first is not None and (not asked or asked[0] not in first):
        differences.append(f"first question: expected one of {first}, got {asked[:1]}")
    return differences
