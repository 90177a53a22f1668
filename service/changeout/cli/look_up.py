"""``changeout explain``, ``calculate``, ``schema``, ``example``: one question to the service each."""

from __future__ import annotations

import difflib
import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from changeout.application.calculations import CALCULATIONS
from changeout.application.published_schema import published_schema
from changeout.application.rulesets import members_text
from changeout.application.service import Service
from changeout.cli.completion import FILE, complete_edition, complete_example, complete_rule
from changeout.cli.files import read, shown
from changeout.cli.options import CannotError, checked_edition, edition_option, jurisdictions_option, loaded
from changeout.cli.pages import rule_text, rules_text
from changeout.cli.terminal import located
from changeout.domain.problems import Refusal
from changeout.render.report_schema import report_schema
from changeout.render.steps_text import calculation_text
from changeout.render.text import plain

form_option = click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="Text for people, or JSON as the service answers it.",
)


@click.command(
    epilog="""\b
Examples:
  changeout explain
  changeout explain short-circuit-rating-at-least-fault-current
  changeout explain working-space-depth --edition 2020 --format json
  changeout explain 408.36

\b
RULE is a rule's id, as findings name it, or a section, which lists the rules at it.""",
    short_help="Explain a rule, or list the rules.",
)
@click.argument("rule", metavar="[RULE]", required=False, shell_complete=complete_rule)
@click.option(
    "--edition",
    metavar="EDITION",
    shell_complete=complete_edition,
    help="The edition; the newest that is no preview, unless said.",
)
@form_option
def explain(rule: str | None, edition: str | None, form: str) -> None:
    """Say what RULE asks, when it passes and fails, its section, its limits, and how that is known.

    Without RULE, list the rules of the edition.
    """
    service = loaded(None)
    chosen = checked_edition(service, edition) or _newest(service)
    page = service.edition(chosen)
    if rule is None:
        click.echo(_json(page) if form == "json" else rules_text(page, page["entries"]))
        return
    if rule in {entry["rule"] for entry in page["entries"]}:
        found = service.rule(chosen, rule)
        click.echo(_json(found) if form == "json" else rule_text(found))
        return
    if there := [entry for entry in page["entries"] if _is_at(rule, entry)]:
        click.echo(_json({**page, "entries": there}) if form == "json" else rules_text(page, there))
        return
    near = _near(rule, page["entries"])
    told = f"edition {chosen} has no rule {plain(rule)}"
    raise CannotError(f"{told}; perhaps:\n{rules_text(page, near)}" if near else f"{told}; without one, all are listed")


def _is_at(section: str, entry: Mapping[str, Any]) -> bool:
    return any(at == section or at.startswith(f"{section}(") for at in _sections(entry))


def _near(text: str, entries: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Return the rules that *text* may mean: part of an id, or an id written wrongly."""
    found = [entry for entry in entries if text in entry["rule"]]
    written = set() if found else set(difflib.get_close_matches(text, [str(entry["rule"]) for entry in entries], n=3))
    return found or [entry for entry in entries if entry["rule"] in written]


def _sections(entry: Mapping[str, Any]) -> list[str]:
    return [*([entry["section"]] if entry["section"] else []), *entry["also"]]


def _newest(service: Service) -> str:
    finished = [name for name in service.editions() if not service.edition(name)["preview"]]
    return finished[-1]


@click.command(
    epilog="""\b
Examples:
  changeout calculate fault-current proposal.json
  changeout example dwelling-service | changeout calculate load - --format json

\b
KIND is one of:
"""
    + "\n".join(f"  {kind}" for kind in CALCULATIONS),
    short_help="Do one calculation, step by step.",
)
@click.argument("kind", type=click.Choice(list(CALCULATIONS)), metavar="KIND")
@click.argument("file", metavar="FILE", type=FILE)
@edition_option
@form_option
@jurisdictions_option
def calculate(kind: str, file: str, edition: str | None, form: str, jurisdictions: Path | None) -> None:
    """Do one calculation on the proposal in FILE (- for standard input), step by step.

    What is not stated is a range; the members that would narrow it are named.
    """
    service = loaded(jurisdictions)
    try:
        page = service.calculate(kind, read(file), edition=checked_edition(service, edition))
    except Refusal as refusal:
        raise CannotError("\n".join(located(refusal, shown(file)))) from None
    click.echo(_json(page) if form == "json" else calculation_text(page))


@click.command(
    epilog="""\b
Examples:
  changeout schema proposal > proposal.schema.json
  changeout schema report > report.schema.json
  changeout schema proposal --format markdown > members.md""",
    short_help="Write the schema of proposals or of reports.",
)
@click.argument("document", type=click.Choice(["proposal", "report"]), metavar="DOCUMENT")
@click.option(
    "--format",
    "form",
    type=click.Choice(["json", "markdown"]),
    default="json",
    show_default=True,
    help="JSON Schema; or of proposals a page with units, ranges and where each fact is found.",
)
def schema(document: str, form: str) -> None:
    """Write the JSON Schema (2020-12) of DOCUMENT, which is proposal or report."""
    if form == "markdown":
        if document == "report":
            raise CannotError("markdown is there of proposals only")
        click.echo(members_text(), nl=False)
    else:
        click.echo(_json(published_schema() if document == "proposal" else report_schema()))


@click.command(
    epilog="""\b
Examples:
  changeout example
  changeout example dwelling-service > proposal.json""",
    short_help="Write an example proposal, or list them.",
)
@click.argument("name", required=False, shell_complete=complete_example)
def example(name: str | None) -> None:
    """Write the example proposal NAME, or list the names."""
    service = loaded(None)
    names = service.examples()
    if name is None:
        click.echo("\n".join(names))
    elif name in names:
        sys.stdout.buffer.write(service.example(name))
    else:
        raise CannotError(f"there is no example {plain(name)}; known: {', '.join(names)}")


def _json(document: dict[str, Any]) -> str:
    return json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2)
