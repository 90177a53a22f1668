"""``changeout check``: judge proposals in files."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, TypedDict, Unpack

import click

from changeout.application.service import DETAILS, Service
from changeout.cli.files import expanded, read, shown
from changeout.cli.options import CANNOT, checked_edition, edition_option, jurisdictions_option, loaded
from changeout.cli.terminal import located, say, wants_colour
from changeout.domain.findings import Report
from changeout.domain.problems import Refusal
from changeout.intake.reader import read_json
from changeout.render.problem_json import problem_object
from changeout.render.report_json import report_object
from changeout.render.text import report_text

FAILING: Final = {
    "violation": ("violations",),
    "undetermined": ("violations", "undetermined"),
    "never": (),
}
"""The verdicts that make the command fail, by ``--fail-on``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """How each file is judged and written."""

    edition: str | None
    detail: str
    form: str
    everything: bool
    colour: bool
    several: bool


class _Chosen(TypedDict):
    """The options of the command line that say how."""

    edition: str | None
    form: str
    fail_on: str
    detail: str
    everything: bool


@click.command(
    epilog="""\b
Examples:
  changeout check proposal.json
  changeout check proposals/ --edition 2023 --fail-on undetermined
  changeout check 'proposals/2026-*.json' --format json > reports.ndjson
  changeout example half-known-dwelling | changeout check -

\b
Exit status:
  0  nothing to fail on
  1  at least one verdict to fail on (see --fail-on)
  2  at least one file could not be read, or a ruleset or an option could not be used"""
)
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@edition_option
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option(
    "--fail-on",
    type=click.Choice(list(FAILING)),
    default="violation",
    show_default=True,
    help="What makes the exit status 1; undetermined includes violation.",
)
@click.option(
    "--detail",
    type=click.Choice(DETAILS),
    default="full",
    show_default=True,
    help="findings leaves out remedies, questions and calculations.",
)
@click.option("--all", "everything", is_flag=True, help="List what is satisfied or does not apply too.")
@jurisdictions_option
@click.pass_context
def check(
    context: click.Context, /, files: Sequence[str], jurisdictions: Path | None, **chosen: Unpack[_Chosen]
) -> None:
    """Judge the proposal in each FILE and write a report.

    FILE is a JSON document, a folder (every .json file in it and below), a pattern in quotes, or - for standard input.

    As text, violations come first, then what is undetermined, conditional or advised; the rest is counted. A file
    that cannot be read is told of on standard error, as file:line:column: code: reason. As JSON, one file gives one
    report, several give one line each (NDJSON), in the order of the files; a file that cannot be read gives a
    problem document in its place.
    """
    service = loaded(jurisdictions)
    names = expanded(files)
    way = _Way(
        edition=checked_edition(service, chosen["edition"]),
        detail=chosen["detail"],
        form=chosen["form"],
        everything=chosen["everything"],
        colour=wants_colour(),
        several=len(names) > 1,
    )
    verdicts = Counter(_check(service, name, way) for name in names)
    if way.several:
        say(f"{len(names)} files: " + ", ".join(f"{number} {verdict}" for verdict, number in verdicts.items()))
    if "unreadable" in verdicts:
        context.exit(CANNOT)
    context.exit(int(any(verdict in verdicts for verdict in FAILING[chosen["fail_on"]])))


def _check(service: Service, name: str, way: _Way) -> str:
    """Judge one file, write what comes of it and return its verdict, or ``unreadable``."""
    try:
        body = read(name)
        report = service.validate(body, edition=way.edition, detail=way.detail)
    except Refusal as refusal:
        _write_refusal(refusal, name, way)
        return "unreadable"
    if way.several:
        say(f"{shown(name)}: {report.verdict}")
    if way.form == "json":
        _write_json(report_object(report), way)
    else:
        click.echo(_text(report, body, name, way))
    return report.verdict


def _write_refusal(refusal: Refusal, name: str, way: _Way) -> None:
    if way.form == "json":
        _write_json(problem_object(refusal), way)
    for line in located(refusal, shown(name)):
        say(line)


def _write_json(document: dict[str, Any], way: _Way) -> None:
    indent = None if way.several else 2
    click.echo(json.dumps(document, ensure_ascii=False, allow_nan=False, indent=indent))


def _text(report: Report, body: bytes, name: str, way: _Way) -> str:
    # A member that is missing has no place: it is told of at the value around the gap.
    locate = read_json(body).places().of_value
    return report_text(report, colour=way.colour, locate=locate, file=shown(name), everything=way.everything)
