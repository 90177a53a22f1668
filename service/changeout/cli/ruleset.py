"""``changeout ruleset``: what rulesets and rules there are, whether a file is in order, what is tested or not known."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from changeout.application.rulesets import check_ruleset, coverage_text, doubts_text, rules_text, rulesets_text
from changeout.cli.completion import FILE, complete_edition
from changeout.cli.files import read, shown
from changeout.cli.options import CANNOT, checked_edition, jurisdictions_option, loaded
from changeout.cli.terminal import say
from changeout.domain.problems import Refusal
from changeout.editions.rows import RulesetError
from changeout.render.text import plain


@click.group(
    epilog="""\b
Examples:
  changeout ruleset list
  changeout ruleset check our-county.toml
  changeout ruleset doubts --edition 2026
  changeout ruleset rules > rules.md"""
)
def ruleset() -> None:
    """Look at the rulesets themselves, and check one of your own."""


@ruleset.command(
    "list",
    short_help="List the editions and the local rulesets.",
    epilog="""\b
Examples:
  changeout ruleset list
  changeout ruleset list --jurisdictions ./local""",
)
@jurisdictions_option
def list_(jurisdictions: Path | None) -> None:
    """List the editions and the local rulesets, with their digests."""
    click.echo(rulesets_text(loaded(jurisdictions)))


@ruleset.command(
    short_help="Check rulesets of your own.",
    epilog="""\b
Examples:
  changeout ruleset check our-county.toml
  changeout ruleset check local/*.toml
  changeout ruleset check - < our-county.toml

\b
What is not in order is told as file:line: reason. How to write one: the documentation page
"how-to-local-ruleset".""",
)
@click.argument("files", nargs=-1, required=True, metavar="FILE...", type=FILE)
@click.pass_context
def check(context: click.Context, files: Sequence[str]) -> None:
    """Check the ruleset in each FILE (- for standard input): a local ruleset, or an edition.

    Ends with status 2, and says file, line and reason, where something is not in order.
    """
    told = [_checked(file) for file in files]
    if not all(told):
        context.exit(CANNOT)


def _checked(file: str) -> bool:
    """Tell whether a ruleset is in order, or else what is not, and return it."""
    name = shown(file)
    try:
        click.echo(f"{name}: in order: {check_ruleset(name, read(file).decode('utf-8'))}")
    except Refusal as refusal:
        say(plain(f"{name}: {refusal.detail}"))
    except UnicodeDecodeError as broken:
        say(f"{name}: not UTF-8 at byte {broken.start}")
    except RulesetError as broken:
        say(str(broken))
    else:
        return True
    return False


@ruleset.command(
    short_help="List what is from memory or not verified.",
    epilog="""\b
Examples:
  changeout ruleset doubts
  changeout ruleset doubts --edition 2026 > doubts-2026.md""",
)
@click.option("--edition", metavar="EDITION", shell_complete=complete_edition, help="Only this edition.")
def doubts(edition: str | None) -> None:
    """List what is from memory or not verified, with section and source (Markdown)."""
    click.echo(doubts_text(checked_edition(loaded(None), edition)), nl=False)


@ruleset.command(
    short_help="Show which cases test each rule.",
    epilog="""\b
Example:
  changeout ruleset coverage > coverage.md""",
)
def coverage() -> None:
    """Show which cases test each rule in each edition, and why where none does (Markdown)."""
    click.echo(coverage_text(), nl=False)


@ruleset.command(
    short_help="Write every rule, with what each edition makes of it.",
    epilog="""\b
Example:
  changeout ruleset rules > rules.md""",
)
def rules() -> None:
    """Write every rule: its words, and its section, limits and origin in each edition (Markdown)."""
    click.echo(rules_text(), nl=False)
