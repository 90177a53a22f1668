"""Options that several commands take, and what they lead to."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeVar

import click

from changeout.application.environment import JURISDICTIONS_VARIABLE
from changeout.application.service import Service
from changeout.cli.completion import complete_edition
from changeout.editions.rows import RulesetError

CANNOT: Final = 2
"""The exit status where something could not be read or used, so nothing was judged."""


class CannotError(click.ClickException):
    """Ends the command with a message and the status for what cannot be done."""

    exit_code = CANNOT


F = TypeVar("F", bound=Callable[..., Any])


def jurisdictions_option(command: F) -> F:
    """Add ``--jurisdictions``."""
    return click.option(
        "--jurisdictions",
        type=click.Path(exists=True, file_okay=False, path_type=Path),
        envvar=JURISDICTIONS_VARIABLE,
        show_envvar=True,
        help="A folder of further local rulesets (TOML).",
    )(command)


def edition_option(command: F) -> F:
    """Add ``--edition``."""
    return click.option(
        "--edition",
        metavar="EDITION",
        shell_complete=complete_edition,
        help="Judge by this edition, such as 2023, whatever the proposal names.",
    )(command)


def loaded(jurisdictions: Path | None) -> Service:
    """Return the service.

    Raises:
        CannotError: if a ruleset is not in order, naming file, line and reason.
    """
    try:
        return Service.load(jurisdictions)
    except RulesetError as broken:
        raise CannotError(f"a ruleset cannot be used: {broken}") from None


def checked_edition(service: Service, edition: str | None) -> str | None:
    """Return *edition* if the service has it, or None if none was named.

    Raises:
        CannotError: naming the editions there are.
    """
    if edition is not None and edition not in service.editions():
        raise CannotError(f"there is no edition {edition}; known: {', '.join(service.editions())}")
    return edition
