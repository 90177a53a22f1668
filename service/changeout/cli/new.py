"""``changeout new``: a first proposal from the fewest facts."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, TypedDict, Unpack

import click

from changeout.application.service import Service
from changeout.application.what_if import patched
from changeout.cli.completion import complete_edition, complete_jurisdiction
from changeout.cli.options import CannotError, checked_edition, jurisdictions_option, loaded
from changeout.cli.terminal import located, say
from changeout.cli.trials import assigned, setting_operations, value_of
from changeout.domain.problems import Refusal
from changeout.domain.vocabulary import DOCUMENT_VERSION, OCCUPANCIES, WORK_SCOPES
from changeout.intake.read import read_value
from changeout.render.text import plain

_NEXT: Final = 3
"""How many of the questions that are open then are told."""


class _Given(TypedDict):
    """The options that answer a question."""

    edition: str | None
    jurisdiction: str | None
    applied_on: str | None
    occupancy: str | None
    scope: str | None


@click.command(
    epilog="""\b
Examples:
  changeout new --output proposal.json
  changeout new --edition 2023 --occupancy one-family-dwelling --scope interior-only
  changeout new --jurisdiction demo-harbor-county --applied-on 2026-03-02 --occupancy commercial \\
    --scope enclosed-panelboard --set /supply/system=208Y/120V-3ph-4w --output proposal.json

\b
OCCUPANCY is one of:
  """
    + "\n  ".join(OCCUPANCIES)
    + """

\b
SCOPE is one of:
  interior-only               a replacement panelboard in the existing enclosure
  interior-in-new-enclosure   a panelboard and a separate enclosure, put together on site
  enclosed-panelboard         the whole factory-built unit

\b
POINTER is a JSON Pointer (RFC 6901). A value is read as JSON where it is JSON (1.9, true, null),
else as text.""",
    short_help="Write a first proposal from three answers.",
)
@click.option("--edition", metavar="EDITION", shell_complete=complete_edition, help="The edition of the code; or else:")
@click.option(
    "--jurisdiction",
    metavar="JURISDICTION",
    shell_complete=complete_jurisdiction,
    help="The jurisdiction, with the date applied on.",
)
@click.option("--applied-on", metavar="YYYY-MM-DD", help="The date that the permit was applied for.")
@click.option(
    "--occupancy",
    type=click.Choice(OCCUPANCIES),
    metavar="OCCUPANCY",
    help="What the building, or the part served, is used for.",
)
@click.option("--scope", type=click.Choice(WORK_SCOPES), metavar="SCOPE", help="interior-only keeps the enclosure.")
@click.option("--set", "sets", multiple=True, metavar="POINTER=VALUE", help="State a further fact. Repeatable.")
@click.option(
    "--output", type=click.Path(dir_okay=False, path_type=Path), help="The file to write; it must not be there yet."
)
@jurisdictions_option
def new(sets: Sequence[str], output: Path | None, jurisdictions: Path | None, **given: Unpack[_Given]) -> None:
    """Write a first proposal: ask what nothing can be judged without, unless options say it.

    Everything else is unknown then, and unknown is not false: the report names what to find out first.
    """
    service = loaded(jurisdictions)
    checked_edition(service, given["edition"])
    document = _document(service, given)
    try:
        for pointer, value in map(assigned, sets):
            document = patched(document, setting_operations(document, pointer, value_of(value)), pointer)
        report = service.report_on(read_value(document))
    except Refusal as refusal:
        raise CannotError("\n".join(located(refusal, "the proposal"))) from None
    _write(json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2), output)
    say(plain(f"{report.verdict}: {report.headline}"))
    for question in report.questions[:_NEXT]:
        say(plain(f"Next: {question.ask} [{question.pointer}]"))


def _document(service: Service, given: _Given) -> dict[str, Any]:
    project: dict[str, Any] = {}
    if given["edition"] is None and given["jurisdiction"] is None:
        project["edition"] = _asked("--edition", "Edition of the code", None, service.editions())
    if given["edition"] is not None:
        project["edition"] = given["edition"]
    if given["jurisdiction"] is not None:
        project["jurisdiction"] = given["jurisdiction"]
        project["applied_on"] = _asked("--applied-on", "Applied on (YYYY-MM-DD)", given["applied_on"])
    elif given["applied_on"] is not None:
        project["applied_on"] = given["applied_on"]
    project["occupancy"] = _asked("--occupancy", "Occupancy", given["occupancy"], OCCUPANCIES)
    scope = _asked("--scope", "Scope of the work", given["scope"], WORK_SCOPES)
    return {"changeout": DOCUMENT_VERSION, "project": project, "work": {"scope": scope, "status": "proposed"}}


def _asked(option: str, question: str, given: str | None, choices: Sequence[str] | None = None) -> str:
    """Return what was *given*, or what is answered; the question goes to standard error.

    Where there are *choices*, a number, the word or its beginning answers.

    Raises:
        CannotError: naming the option, if nobody answers.
    """
    if given is not None:
        return given
    for number, choice in enumerate(choices or (), 1):
        say(f"  {number}  {choice}")
    try:
        answer: str = click.prompt(question, value_proc=lambda text: _answer(text, choices), err=True)
    except click.Abort:
        raise CannotError(f"nobody answered; give {option}") from None
    return answer


def _answer(text: str, choices: Sequence[str] | None) -> str:
    """Return the choice that *text* means, or the text itself where any will do.

    Raises:
        click.UsageError: if it means none, or several; the question is asked again then.
    """
    if choices is None or text in choices:
        return text
    if text.isascii() and text.isdigit() and 0 < int(text) <= len(choices):
        return choices[int(text) - 1]
    meant = [choice for choice in choices if choice.startswith(text)]
    if len(meant) == 1:
        return meant[0]
    raise click.UsageError(f"{plain(text)} is none of these." if not meant else f"{', '.join(meant)}: which?")


def _write(text: str, output: Path | None) -> None:
    if output is None:
        click.echo(text)
        return
    try:
        with output.open("x", encoding="utf-8") as file:
            file.write(f"{text}\n")
    except OSError as failure:
        raise CannotError(f"{output} cannot be written: {failure.strerror or failure}") from None
