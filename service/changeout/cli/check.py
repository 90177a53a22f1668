"""``changeout check``: judge proposals in files."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, TypedDict, Unpack

import click

from changeout.application.service import DETAILS, Service
from changeout.cli.baseline import Baseline, read_baseline
from changeout.cli.completion import FILE
from changeout.cli.files import STANDARD_INPUT, expanded, read, shown
from changeout.cli.judging import Order, judgement, results
from changeout.cli.options import CANNOT, CannotError, checked_edition, edition_option, jurisdictions_option, loaded
from changeout.cli.results import Result, Way
from changeout.cli.terminal import located, say, wants_colour
from changeout.cli.watching import rounds
from changeout.cli.writing import FORMS, GATHERED, Style, closing, write, write_gathered
from changeout.domain.problems import Refusal
from changeout.intake.reader import read_json
from changeout.render.text import plain

FAILING: Final = {
    "violation": ("violations",),
    "undetermined": ("violations", "undetermined"),
    "never": (),
}
"""The verdicts that make the command fail, by ``--fail-on``."""

_FAILING_OUTCOMES: Final = {
    "violation": frozenset({"violation"}),
    "undetermined": frozenset({"violation", "undetermined"}),
    "never": frozenset[str](),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    """Everything that holds for all files of a run."""

    service: Service
    way: Way
    form: str
    everything: bool
    fail_on: str
    jobs: int
    jurisdictions: Path | None
    baseline: Baseline | None


class _Chosen(TypedDict):
    """The options of the command line that say how."""

    edition: str | None
    form: str
    fail_on: str
    detail: str
    everything: bool
    jobs: int
    baseline: Path | None
    base: str | None
    jurisdictions: Path | None


@click.command(
    epilog="""\b
Examples:
  changeout check proposal.json
  changeout check proposals/ --edition 2023 --fail-on undetermined
  changeout check 'proposals/2026-*.json' --format json > reports.ndjson
  changeout check proposals/ --jobs 4 --format sarif > changeout.sarif
  changeout check proposals/ --baseline reports.ndjson
  changeout check unit-*.json --base building.json
  changeout check proposals/ --watch
  changeout example half-known-dwelling | changeout check -

\b
Exit status:
  0  nothing to fail on
  1  at least one verdict to fail on (see --fail-on)
  2  at least one file could not be read, or a ruleset or an option could not be used"""
)
@click.argument("files", nargs=-1, required=True, metavar="FILE...", type=FILE)
@edition_option
@click.option(
    "--format",
    "form",
    type=click.Choice(FORMS),
    default="text",
    show_default=True,
    envvar="CHANGEOUT_CHECK_FORMAT",
    help="text and markdown are for people, html is to print, the others are for programs.",
)
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
@click.option(
    "--all",
    "everything",
    is_flag=True,
    envvar="CHANGEOUT_CHECK_ALL",
    help="List what is satisfied or does not apply too.",
)
@click.option("--jobs", type=click.IntRange(1, 64), default=1, show_default=True, help="Judge with so many processes.")
@click.option("--watch", is_flag=True, help="Judge again whatever changes, until Ctrl-C.")
@click.option(
    "--baseline",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Fail only on findings that these reports (of --format json) lack: by rule, subject and outcome.",
)
@click.option(
    "--base",
    type=click.Path(exists=True, dir_okay=False),
    help="Lay each FILE over this document (RFC 7396): it need hold only what differs.",
)
@jurisdictions_option
@click.pass_context
def check(context: click.Context, /, files: Sequence[str], watch: bool, **chosen: Unpack[_Chosen]) -> None:
    """Judge the proposal in each FILE and write a report.

    FILE is a JSON document, a folder (every .json file in it and below), a pattern in quotes, or - for standard input.

    As text, violations come first, then what is undetermined, conditional or advised; the rest is counted. A file
    that cannot be read is told of on standard error, as file:line:column: code: reason. Several files end with what is
    asked in all of them and with the cautions, once. As JSON, one file gives one
    report, several give one line each (NDJSON), in the order of the files; a file that cannot be read gives a
    problem document in its place. SARIF and JUnit gather all files in one document; HTML takes one file.
    """
    run = _run(chosen)
    if watch:
        context.exit(_watched(files, run))
    names = expanded(files)
    _check_form(run, names)
    context.exit(_judge(names, run, {}, several=len(names) > 1))


def _run(chosen: _Chosen) -> _Run:
    service = loaded(chosen["jurisdictions"])
    edition = checked_edition(service, chosen["edition"])
    base = None if chosen["base"] is None else _base(chosen["base"])
    return _Run(
        service=service,
        way=Way(edition=edition, detail=chosen["detail"], base=base),
        form=chosen["form"],
        everything=chosen["everything"],
        fail_on=chosen["fail_on"],
        jobs=chosen["jobs"],
        jurisdictions=chosen["jurisdictions"],
        baseline=read_baseline(chosen["baseline"]) if chosen["baseline"] is not None else None,
    )


def _base(name: str) -> dict[str, Any]:
    try:
        base = read_json(read(name)).value
    except Refusal as refusal:
        raise CannotError("\n".join(located(refusal, name))) from None
    if not isinstance(base, dict):
        raise CannotError(f"{name} is no JSON object to lay files over")
    return base


def _check_form(run: _Run, names: Sequence[str]) -> None:
    if run.form == "html" and len(names) > 1:
        raise CannotError(f"html takes one file, not {len(names)}; markdown takes several")


def _watched(files: Sequence[str], run: _Run) -> int:
    """Judge whatever changes until the caller interrupts, and return the exit status of the last state."""
    if STANDARD_INPUT in files:
        raise CannotError("standard input cannot be watched")
    statuses: dict[str, int] = {}
    status = 0
    try:
        for names, changed in rounds(files):
            _check_form(run, names)
            for gone in set(statuses) - set(names):
                del statuses[gone]
            status = _judge(changed, run, statuses, several=len(names) > 1)
            say("Watching; Ctrl-C ends it.")
    except KeyboardInterrupt:
        say("")
    return status


def _judge(names: Sequence[str], run: _Run, statuses: dict[str, int], *, several: bool) -> int:
    """Judge and write these files, keep the exit status of each in *statuses*, and return the gravest of all."""
    style = Style(form=run.form, everything=run.everything, colour=wants_colour(), several=several)
    done: list[Result] = []
    gathered = []
    order = Order(way=run.way, style=style, whole=run.form in GATHERED or run.baseline is not None)
    for result in results(run.service, names, order, run.jobs, run.jurisdictions):
        write(result, style)
        statuses[result.name] = _status(result, run, alone=not several)
        if run.form in GATHERED:
            judged = judgement(result, run.service, run.way)
            gathered.append((result, judged.located(shown(result.name)) if judged else None))
        done.append(result.summary())
        if several and run.baseline is not None:
            _check_references(done)
    if run.form in GATHERED:
        write_gathered(gathered, style)
    if several:
        _sum_up(done, style)
    return max(statuses.values(), default=0)


def _check_references(done: Sequence[Result]) -> None:
    references = Counter(result.report.reference for result in done if result.report and result.report.reference)
    if twice := [reference for reference, number in references.items() if number > 1]:
        raise CannotError(plain(f"two files have the reference {twice[0]}: a baseline cannot tell them apart"))


def _sum_up(done: Sequence[Result], style: Style) -> None:
    if style.form == "text":
        for text in closing(done, style):
            click.echo(text)
    verdicts = Counter(result.verdict for result in done)
    say(f"{len(done)} files: " + ", ".join(f"{number} {verdict}" for verdict, number in verdicts.items()))


def _status(result: Result, run: _Run, *, alone: bool) -> int:
    """Return the exit status that one file asks for, and tell what is new where there is a baseline."""
    if result.report is None:
        return CANNOT
    if run.baseline is None:
        return int(result.verdict in FAILING[run.fail_on])
    new = run.baseline.new(result.report, _FAILING_OUTCOMES[run.fail_on], alone=alone)
    for line in _new_lines(result, [(f.outcome.value, f.rule, f.subject) for f in new]):
        say(line)
    return int(bool(new))


def _new_lines(result: Result, new: Sequence[tuple[str, str, str]]) -> Iterator[str]:
    for outcome, rule, subject in itertools.islice(new, 20):
        yield plain(f"{shown(result.name)}: new: {outcome}: {rule} [{subject or '/'}]")
    if len(new) > 20:
        yield f"{shown(result.name)}: new: and {len(new) - 20} more"
