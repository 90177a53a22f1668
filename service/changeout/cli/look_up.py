"""``changeout explain``, ``calculate``, ``schema``, ``example``: one question to the service each."""

from __future__ import annotations

import difflib
import json
import sys
from pathlib import Path
from typing import Any

import click

from changeout.application.calculations import CALCULATIONS
from changeout.application.service import Service
from changeout.cli.files import read, shown
from changeout.cli.options import CannotError, checked_edition, edition_option, jurisdictions_option, loaded
from changeout.cli.pages import rule_text
from changeout.cli.terminal import located
from changeout.domain.problems import Refusal
from changeout.intake.json_schema import proposal_schema
from changeout.render.report_schema import report_schema
from changeout.render.steps_text import calculation_text

form_option = click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)


@click.command(
    epilog="""\b
Examples:
  changeout explain short-circuit-rating-at-least-fault-current
  changeout explain working-space-depth --edition 2020 --format json"""
)
@click.argument("rule", metavar="RULE")
@click.option("--edition", metavar="EDITION", help="The edition; the newest that is no preview, unless said.")
@form_option
def explain(rule: str, edition: str | None, form: str) -> None:
    """Say what RULE asks, when it passes and fails, its section, its limits, and how that is known."""
    service = loaded(None)
    chosen = checked_edition(service, edition) or _newest(service)
    known = [str(entry["rule"]) for entry in service.edition(chosen)["entries"]]
    if rule not in known:
        near = difflib.get_close_matches(rule, known, n=3)
        meant = f"; perhaps: {', '.join(near)}" if near else ""
        raise CannotError(f"edition {chosen} has no rule {rule}{meant}")
    page = service.rule(chosen, rule)
    click.echo(_json(page) if form == "json" else rule_text(page))


def _newest(service: Service) -> str:
    finished = [name for name in service.editions() if not service.edition(name)["preview"]]
    return finished[-1]


@click.command(
    epilog="""\b
Examples:
  changeout calculate fault-current proposal.json
  changeout example dwelling-service | changeout calculate load - --format json"""
)
@click.argument("kind", type=click.Choice(list(CALCULATIONS)))
@click.argument("file", metavar="FILE")
@edition_option
@form_option
@jurisdictions_option
def calculate(kind: str, file: str, edition: str | None, form: str, jurisdictions: Path | None) -> None:
    """Do one calculation on the proposal in FILE (- for standard input), step by step."""
    service = loaded(jurisdictions)
    try:
        page = service.calculate(kind, read(file), edition=checked_edition(service, edition))
    except Refusal as refusal:
        raise CannotError("\n".join(located(refusal, shown(file)))) from None
    click.echo(_json(page) if form == "json" else calculation_text(page))


@click.command(
    epilog="""\b
Example:
  changeout schema proposal > proposal.schema.json"""
)
@click.argument("document", type=click.Choice(["proposal", "report"]))
def schema(document: str) -> None:
    """Write the JSON Schema (2020-12) of proposals or of reports."""
    click.echo(_json(proposal_schema() if document == "proposal" else report_schema()))


@click.command(
    epilog="""\b
Examples:
  changeout example
  changeout example dwelling-service > proposal.json"""
)
@click.argument("name", required=False)
def example(name: str | None) -> None:
    """Write the example proposal NAME, or list the names."""
    service = loaded(None)
    names = service.examples()
    if name is None:
        click.echo("\n".join(names))
    elif name in names:
        sys.stdout.buffer.write(service.example(name))
    else:
        raise CannotError(f"there is no example {name}; known: {', '.join(names)}")


def _json(document: dict[str, Any]) -> str:
    return json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2)
