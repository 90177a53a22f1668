"""The command ``changeout``."""

from __future__ import annotations

import click

from changeout import __version__
from changeout.cli.check import check
from changeout.cli.look_up import calculate, example, explain, schema
from changeout.cli.serve import serve


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="""\b
Examples:
  changeout example dwelling-service > proposal.json
  changeout check proposal.json
  changeout explain short-circuit-rating-at-least-fault-current --edition 2023
  changeout serve --bind 127.0.0.1:8080""",
)
@click.version_option(__version__, prog_name="changeout")
def main() -> None:
    """Judge a proposed panelboard replacement against an edition of the electrical code, and show why."""


for _command in (check, explain, calculate, schema, example, serve):
    main.add_command(_command)
