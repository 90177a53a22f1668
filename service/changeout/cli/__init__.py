"""The command ``changeout``."""

from __future__ import annotations

import click

from changeout import __version__
from changeout.cli.check import check
from changeout.cli.look_up import calculate, example, explain, schema
from changeout.cli.new import new
from changeout.cli.ruleset import ruleset
from changeout.cli.serve import serve
from changeout.cli.trials import compare, diff, document, what_if


@click.group(
    context_settings={
        "help_option_names": ["-h", "--help"],
        "max_content_width": 100,
        "auto_envvar_prefix": "CHANGEOUT",
    },
    epilog="""\b
Examples:
  changeout example dwelling-service > proposal.json
  changeout check proposal.json
  changeout new --output first.json
  changeout compare proposal.json --editions 2020,2023
  changeout explain short-circuit-rating-at-least-fault-current --edition 2023
  changeout serve --bind 127.0.0.1:8080

\b
A variable of the environment stands for each option: CHANGEOUT_CHECK_FAIL_ON=undetermined.
Completion, for bash (zsh_source and fish_source for the others), in ~/.bashrc:
  eval "$(_CHANGEOUT_COMPLETE=bash_source changeout)"
Documentation: changeout serve, then http://127.0.0.1:8080/docs""",
)
@click.version_option(__version__, prog_name="changeout")
def main() -> None:
    """Judge a proposed panelboard replacement against an edition of the electrical code, and show why."""


for _command in (new, check, compare, diff, what_if, document, explain, calculate, ruleset, schema, example, serve):
    main.add_command(_command)
