"""What ``changeout check`` writes of its results."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import click

from changeout.application.judgement import Judgement
from changeout.cli.files import shown
from changeout.cli.results import Result
from changeout.cli.terminal import located, say
from changeout.domain.problems import Refusal
from changeout.intake.members import find
from changeout.render.html import report_html
from changeout.render.junit import junit_bytes
from changeout.render.located import LocatedRefusal, LocatedReport
from changeout.render.markdown import report_markdown
from changeout.render.problem_json import problem_object
from changeout.render.report_json import report_object
from changeout.render.sarif import sarif_bytes
from changeout.render.text import closing_text, findings_text, plain, report_text

FORMS: Final = ("text", "json", "sarif", "junit", "markdown", "html")
GATHERED: Final = frozenset({"sarif", "junit"})
"""Forms in which all files make one document."""

_QUESTIONS: Final = 10
_WIDTH: Final = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How results are written."""

    form: str
    everything: bool
    colour: bool
    several: bool


def write(result: Result, style: Style) -> None:
    """Write the result of one file; why it was refused goes to standard error."""
    if result.refused is not None:
        for line in located(result.refused.refusal(), shown(result.name)):
            say(line)
    elif style.several:
        say(f"{shown(result.name)}: {result.verdict}")
    if result.written:
        click.echo(result.written)


def report_written(judged: Judgement, name: str, style: Style) -> str | bytes:
    """Return what stands on standard output for a report: nothing in a form that gathers all, UTF-8 if it is JSON."""
    if style.form in GATHERED:
        return ""
    if style.form == "json":
        return _json(report_object(judged.report), style)
    if style.form == "markdown":
        return report_markdown(judged.report, judged.read.proposal)
    if style.form == "html":
        return report_html(judged.report, judged.read.proposal)
    return _text(judged, name, style)


def refusal_written(refusal: Refusal, style: Style) -> str | bytes:
    """Return what stands on standard output for a file that was refused: a problem document where reports are JSON."""
    return _json(problem_object(refusal), style) if style.form == "json" else ""


def write_gathered(gathered: Sequence[tuple[Result, LocatedReport | None]], style: Style) -> None:
    """Write all results as one document, in a form that gathers them."""
    reports = [report for _, report in gathered if report is not None]
    refused = [
        LocatedRefusal(refusal=result.refused.refusal(), file=shown(result.name))
        for result, _ in gathered
        if result.refused is not None
    ]
    if style.form == "sarif":
        click.echo(sarif_bytes(reports, refused, all_results=style.everything))
    else:
        click.echo(junit_bytes(reports, refused).rstrip(b"\n"))


def closing(results: Sequence[Result], style: Style) -> Iterator[str]:
    """Yield what stands once under the text of several files: what is asked in all of them, and the cautions."""
    questions = questions_text(results)
    if questions:
        yield questions
    reports = [result.report for result in results if result.report]
    if reports:
        yield closing_text(reports, colour=style.colour)


def questions_text(results: Sequence[Result]) -> str:
    """Return which answers would settle most over all files, the most useful first; empty where none is asked."""
    settles: dict[str, int] = {}
    files: dict[str, set[str]] = {}
    for result in results:
        for question in result.report.questions if result.report else ():
            if question.settles:
                member = re.sub(r"/\d+(?=/|$)", "/*", question.pointer)
                settles[member] = settles.get(member, 0) + question.settles
                files.setdefault(member, set()).add(result.name)
    ranked = sorted(settles, key=lambda member: (-settles[member], member))
    return "\n".join(_question_lines(ranked[:_QUESTIONS], settles, files))


def _question_lines(ranked: Sequence[str], settles: dict[str, int], files: dict[str, set[str]]) -> Iterator[str]:
    if ranked:
        yield "What is asked in all files, the most useful first"
    for member in ranked:
        found = find(member.replace("/*", "/0"))
        title = str(found[-1].metadata["title"]) if found else member
        told = (
            f"{title} [{member}]: settles {_counted(settles[member], 'finding')}"
            f" in {_counted(len(files[member]), 'file')}"
        )
        yield textwrap.fill(told, width=_WIDTH, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False)


def _counted(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _json(document: dict[str, Any], style: Style) -> bytes:
    return json.dumps(document, ensure_ascii=False, allow_nan=False, indent=None if style.several else 2).encode()


def _text(judged: Judgement, name: str, style: Style) -> str:
    # The closing of several stands once, under all of them.
    return (findings_text if style.several else report_text)(
        judged.report,
        judged.read.proposal,
        colour=style.colour,
        locate=judged.locate(),
        file=plain(shown(name)),
        everything=style.everything,
    )
