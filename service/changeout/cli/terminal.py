"""Whether and how to write for a terminal."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator

import click

from changeout.domain.problems import Refusal
from changeout.render.text import plain


def wants_colour() -> bool:
    """Whether standard output is a terminal that shows colours and nobody asked for none."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def say(message: str) -> None:
    """Write a line to standard error."""
    click.echo(message, err=True)


def located(refusal: Refusal, name: str) -> Iterator[str]:
    """Yield a line for each thing wrong in a file: ``file:line:column: code: sentence``."""
    if not refusal.errors:
        yield plain(f"{name}: {refusal.problem.code}: {refusal.detail}")
    for error in refusal.errors:
        place = f":{error.line}:{error.column}" if error.line is not None else ""
        at = f" [{', '.join((error.pointer, *error.also))}]" if error.pointer else ""
        meant = f" Perhaps: {error.suggestion}" if error.suggestion is not None else ""
        yield plain(f"{name}{place}: {error.code}: {error.detail}{meant}{at}")
