"""Reports as JUnit XML, for build servers: one suite a file, one case a finding.

A violation fails. What cannot be told yet and what a waiver sets aside is skipped, with the reason. What is
conditional, advised or satisfied passes, its words in the output. What does not apply is counted only.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterator, Sequence

from junitparser import Error, Failure, JUnitXml, Skipped, TestCase, TestSuite

from changeout import __version__
from changeout.domain.findings import Finding, Outcome
from changeout.render.amounts import figure_words
from changeout.render.finding_card import section_text, waiver_words
from changeout.render.located import LocatedRefusal, LocatedReport
from changeout.render.safe_text import printable


def junit_bytes(reports: Sequence[LocatedReport], refused: Sequence[LocatedRefusal] = ()) -> bytes:
    """Return the reports as JUnit XML in UTF-8; a *refused* file is a suite with one error."""
    xml = JUnitXml("changeout")
    for located in reports:
        xml.add_testsuite(_suite(located))
    for one in refused:
        xml.add_testsuite(_refused_suite(one))
    xml.update_statistics()
    written = io.BytesIO()
    # Indented output does not depend on which XML library the machine has.
    xml.write(written, pretty=True)
    return written.getvalue()


def _suite(located: LocatedReport) -> TestSuite:
    report = located.report
    suite = TestSuite(printable(located.file))
    for name, value in (
        ("edition", report.ruleset.edition),
        ("jurisdiction", report.ruleset.jurisdiction or ""),
        ("ruleset.digest", report.ruleset.digest),
        ("decision.id", report.decision_id),
        ("verdict", report.verdict),
        ("verdict.before.waivers", report.verdict_before_waivers),
        ("not.applicable", str(report.counts[Outcome.NOT_APPLICABLE.value])),
        ("engine", __version__),
    ):
        suite.add_property(name, printable(value))
    suite.add_testcases(list(_cases(report.findings)))
    suite.time = 0
    return suite


def _cases(findings: Sequence[Finding]) -> Iterator[TestCase]:
    named: Counter[tuple[str, str]] = Counter()
    for finding in findings:
        if finding.outcome is Outcome.NOT_APPLICABLE:
            continue
        named[finding.rule, finding.subject] += 1
        count = named[finding.rule, finding.subject]
        again = f" ({count})" if count > 1 else ""
        case = TestCase(printable(f"{finding.title} [{finding.subject or '/'}]{again}"), f"changeout.{finding.rule}", 0)
        _conclude(case, finding)
        yield case


def _conclude(case: TestCase, finding: Finding) -> None:
    message, text = printable(finding.message), "\n".join(map(printable, _lines(finding)))
    waived = waiver_words(finding)
    if waived is not None:
        case.result = Skipped(printable(waived), "waived")
    elif finding.outcome is Outcome.VIOLATION:
        failure = Failure(message, finding.outcome.value)
        failure.text = text
        case.result = failure
    elif finding.outcome is Outcome.UNDETERMINED:
        case.result = Skipped(message, finding.outcome.value)
    else:
        case.system_out = text


def _lines(finding: Finding) -> Iterator[str]:
    advice = f" ({finding.advice.value})" if finding.advice else ""
    yield f"{finding.outcome.value}{advice}: {finding.message}"
    yield f"Section: {section_text(finding)}"
    if finding.found is not None:
        yield f"Found: {figure_words(finding.found)}"
    if finding.required is not None:
        yield f"Required: {figure_words(finding.required)}"
    for remedy in finding.remedies:
        yield f"Remedy: {remedy.text}"
    if finding.condition is not None:
        yield f"Condition: {finding.condition}"
    for caution in finding.cautions:
        yield f"Caution: {caution}"


def _refused_suite(one: LocatedRefusal) -> TestSuite:
    suite = TestSuite(printable(one.file))
    case = TestCase("The file is a proposal", "changeout.proposal", 0)
    error = Error(printable(one.refusal.detail), one.refusal.problem.code)
    error.text = "\n".join(
        printable(f"{e.line or 1}:{e.column or 1}: {e.pointer or '/'}: {e.code}: {e.detail}")
        for e in one.refusal.errors
    )
    case.result = error
    suite.add_testcase(case)
    suite.time = 0
    return suite
