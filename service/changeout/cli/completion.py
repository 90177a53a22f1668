"""What the shell completes: files, editions, rules, examples, jurisdictions."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import click
from click.shell_completion import CompletionItem

from changeout.application.service import Service

FILE: Final = click.Path(allow_dash=True, readable=False)
"""The type of an argument that names a file, read later, so that the shell completes it."""


def complete_edition(_context: click.Context, _parameter: click.Parameter, begun: str) -> list[CompletionItem]:
    """Return the editions that begin so."""
    return _beginning(begun, ((name, None) for name in Service.load().editions()))


def complete_rule(context: click.Context, _parameter: click.Parameter, begun: str) -> list[CompletionItem]:
    """Return the rules that begin so, with their titles where the shell shows them."""
    service = Service.load()
    edition = context.params.get("edition")
    entries = service.edition(edition if edition in service.editions() else service.editions()[-1])["entries"]
    return _beginning(begun, ((entry["rule"], entry["title"]) for entry in entries))


def complete_example(_context: click.Context, _parameter: click.Parameter, begun: str) -> list[CompletionItem]:
    """Return the examples that begin so."""
    return _beginning(begun, ((name, None) for name in Service.load().examples()))


def complete_jurisdiction(_context: click.Context, _parameter: click.Parameter, begun: str) -> list[CompletionItem]:
    """Return the shipped jurisdictions that begin so."""
    return _beginning(begun, ((one["id"], one["name"]) for one in Service.load().jurisdictions()))


def complete_editions(_context: click.Context, _parameter: click.Parameter, begun: str) -> list[CompletionItem]:
    """Return the ways on with one more edition in a list that commas part."""
    before, comma, last = begun.rpartition(",")
    named = before.split(",")
    left = [name for name in Service.load().editions() if name not in named]
    return _beginning(begun, ((f"{before}{comma}{name}", None) for name in left if name.startswith(last)))


def _beginning(begun: str, known: Iterable[tuple[str, str | None]]) -> list[CompletionItem]:
    return [CompletionItem(name, help=words) for name, words in known if name.startswith(begun)]
