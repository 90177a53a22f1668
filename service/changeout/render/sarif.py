"""Reports as SARIF 2.1.0, for whatever shows findings at their lines.

Satisfied and not applicable findings are left out unless asked for: some viewers show every result as an alert.
There is one run for each ruleset, since a rule's section and how it is known are the edition's.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, Final

from changeout import __version__
from changeout.domain.findings import Outcome
from changeout.render.located import LocatedRefusal, LocatedReport
from changeout.render.sarif_results import file_address, message_text, result_objects
from changeout.render.sarif_rules import rule_objects

SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
_LEFT_OUT: Final = frozenset({Outcome.SATISFIED, Outcome.NOT_APPLICABLE})


def sarif_bytes(
    reports: Sequence[LocatedReport], refused: Sequence[LocatedRefusal] = (), *, all_results: bool = False
) -> bytes:
    """Return the SARIF log as UTF-8 JSON; see ``sarif_object``."""
    log = sarif_object(reports, refused, all_results=all_results)
    return json.dumps(log, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def sarif_object(
    reports: Sequence[LocatedReport], refused: Sequence[LocatedRefusal] = (), *, all_results: bool = False
) -> dict[str, Any]:
    """Return the SARIF log of one or several files as JSON-ready values.

    *refused* files are notifications of the first run. *all_results* adds what is satisfied or does not apply.
    """
    by_ruleset: dict[str, list[LocatedReport]] = {}
    for located in reports:
        by_ruleset.setdefault(located.report.ruleset.digest, []).append(located)
    groups = list(by_ruleset.values()) or [[]]
    return {
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [
            _run(group, refused if place == 0 else (), all_results=all_results) for place, group in enumerate(groups)
        ],
    }


def _run(reports: list[LocatedReport], refused: Sequence[LocatedRefusal], *, all_results: bool) -> dict[str, Any]:
    chosen = [
        (located, [f for f in located.report.findings if all_results or f.outcome not in _LEFT_OUT])
        for located in reports
    ]
    rules = rule_objects(chosen)
    places = {rule["id"]: place for place, rule in enumerate(rules)}
    suppressing = any(finding.waived for _, findings in chosen for finding in findings)
    files = dict.fromkeys([*(one.file for one in reports), *(one.file for one in refused)])
    run: dict[str, Any] = {
        "tool": {
            "driver": {
                "name": "changeout",
                "version": __version__,
                "semanticVersion": __version__,
                "rules": rules,
            }
        },
        "invocations": [_invocation(refused)],
        "columnKind": "unicodeCodePoints",
        "artifacts": [{"location": {"uri": file_address(file)}} for file in files],
        "results": [
            result
            for located, findings in chosen
            for result in result_objects(located, findings, places, suppressing=suppressing)
        ],
        "properties": {"reports": [_summary(located) for located in reports]},
    }
    if reports:
        ruleset = reports[0].report.ruleset
        place = f"/{ruleset.jurisdiction}" if ruleset.jurisdiction else ""
        run["automationDetails"] = {"id": f"changeout/{ruleset.edition}{place}/"}
    return run


def _invocation(refused: Sequence[LocatedRefusal]) -> dict[str, Any]:
    invocation: dict[str, Any] = {"executionSuccessful": not refused}
    if refused:
        invocation["toolExecutionNotifications"] = [
            notification for one in refused for notification in _notifications(one)
        ]
    return invocation


def _notifications(one: LocatedRefusal) -> list[dict[str, Any]]:
    problem, uri = one.refusal.problem, file_address(one.file)
    told = [
        (e.code, f"{e.pointer}: {e.detail}" if e.pointer else e.detail, e.line, e.column) for e in one.refusal.errors
    ]
    return [
        {
            "level": "error",
            "descriptor": {"id": code},
            "message": {"text": message_text(text)},
            "locations": [
                {
                    "physicalLocation": {
                        "artifactLocation": {"uri": uri},
                        "region": {"startLine": line or 1, "startColumn": column or 1},
                    }
                }
            ],
        }
        for code, text, line, column in told or [(problem.code, one.refusal.detail, None, None)]
    ]


def _summary(located: LocatedReport) -> dict[str, Any]:
    report = located.report
    return {
        "uri": file_address(located.file),
        "decisionId": report.decision_id,
        "rulesetDigest": report.ruleset.digest,
        "edition": report.ruleset.edition,
        "verdict": report.verdict,
        "verdictBeforeWaivers": report.verdict_before_waivers,
        "headline": report.headline,
        "counts": dict(report.counts),
    }
