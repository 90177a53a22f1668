"""The shell completes commands, options, files and names, as the help says to set it up."""

import os
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from changeout.application.service import Service
from changeout.cli import main

SETTING_UP = 'eval "$(_CHANGEOUT_COMPLETE=bash_source changeout)"'
ASKING = """
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); COMPREPLY=()
compopt() { echo compopt "$@"; }
_changeout_completion changeout
printf '%s\\n' "${COMPREPLY[@]}"
"""


def bash(script, *words):
    done = subprocess.run(
        ["bash", "-c", script, "bash", *words],
        env={**os.environ, "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}"},
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert done.stderr == ""
    return done.stdout


@cache
def set_up():
    """Return what the line in the help leaves in a shell."""
    return bash(f"{SETTING_UP}; declare -f _changeout_completion; complete -p changeout")


def completed(*words):
    """Return what a shell that was set up offers for the last word."""
    return bash(set_up() + ASKING, "changeout", *words).split("\n")[:-1]


def test_the_help_says_how_to_set_it_up():
    assert f"  {SETTING_UP}\n" in CliRunner().invoke(main, ["--help"]).stdout


def test_the_shell_knows_whom_to_ask():
    assert re.search(r"^complete .*-F _changeout_completion changeout$", set_up(), re.MULTILINE)


def test_commands():
    assert completed("c") == ["calculate", "check", "compare"]
    assert completed("ruleset", "co") == ["coverage"]


def test_options_and_their_words():
    assert "--fail-on" in completed("check", "--")
    assert completed("check", "--format", "s") == ["sarif"]
    assert completed("check", "--fail-on", "") == ["violation", "undetermined", "never"]


@pytest.mark.parametrize(
    "words",
    [
        ("check",),
        ("compare",),
        ("diff",),
        ("diff", "old.json"),
        ("what-if",),
        ("calculate", "load"),
        ("ruleset", "check"),
    ],
    ids=" ".join,
)
def test_files(words):
    assert completed(*words, "prop") == ["compopt -o default", ""]


def test_rules():
    assert completed("explain", "working-space-d") == ["working-space-depth"]
    assert len(completed("explain", "")) == len(Service.load().rulesets["2023"].edition.rows)


def test_editions():
    assert completed("explain", "--edition", "") == list(Service.load().editions())
    assert completed("check", "--edition", "201") == ["2017"]


def test_editions_in_a_list():
    assert completed("compare", "p.json", "--editions", "2017,202") == ["2017,2020", "2017,2023", "2017,2026"]
    assert completed("compare", "p.json", "--editions", "2020,202") == ["2020,2023", "2020,2026"]


def test_examples_and_jurisdictions():
    assert completed("example", "shop") == ["shop-feeder"]
    assert "demo-harbor-county" in completed("new", "--jurisdiction", "demo-")
    assert completed("new", "--occupancy", "one") == ["one-family-dwelling"]


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_the_others_are_given_a_script(shell):
    done = subprocess.run(
        [sys.executable, "-c", "from changeout.cli import main; main(prog_name='changeout')"],
        env={**os.environ, "_CHANGEOUT_COMPLETE": f"{shell}_source"},
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert f"_CHANGEOUT_COMPLETE={shell}_complete" in done.stdout
