"""On a terminal: colours, unless somebody asked for none, and questions."""

import json
import os
import pty
import subprocess
import sys

import pytest

from changeout.application.service import Service


@pytest.fixture
def proposal(tmp_path):
    path = tmp_path / "proposal.json"
    path.write_bytes(Service.load().example("half-known-dwelling"))
    return str(path)


def on_a_terminal(*arguments, **variables):
    """Run the command with a pseudo-terminal as standard output, and return what it wrote there."""
    ours, theirs = pty.openpty()
    environment = {k: v for k, v in os.environ.items() if k not in {"NO_COLOR", "TERM"}}
    process = subprocess.Popen(
        [sys.executable, "-m", "changeout", *arguments],
        stdin=subprocess.DEVNULL,
        stdout=theirs,
        stderr=subprocess.DEVNULL,
        env={**environment, "TERM": "xterm", **variables},
    )
    os.close(theirs)
    written = everything(ours)
    process.wait(timeout=20)
    return written


def everything(ours):
    """Return what is written to a pseudo-terminal until the other side is closed."""
    written = b""
    while True:
        try:
            data = os.read(ours, 65536)
        except OSError:  # Linux answers so when the other side is closed
            break
        if not data:
            break
        written += data
    os.close(ours)
    return written.decode()


def test_colours_on_a_terminal(proposal):
    text = on_a_terminal("check", proposal)
    assert "\x1b[1;33m" in text
    assert text.count("\x1b[0m") > 3


@pytest.mark.parametrize("variables", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_no_colours_when_asked_for_none(proposal, variables):
    assert "\x1b" not in on_a_terminal("check", proposal, **variables)


def test_an_empty_no_color_asks_for_nothing(proposal):
    assert "\x1b[" in on_a_terminal("check", proposal, NO_COLOR="")


def test_json_has_no_colours(proposal):
    assert "\x1b" not in on_a_terminal("check", proposal, "--format", "json")


def test_a_first_proposal_is_asked_for_and_written(tmp_path):
    """As somebody at a terminal: three short answers, one of them wrong at first."""
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "changeout", "new", "--output", "first.json"],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        cwd=tmp_path,
    )
    os.close(theirs)
    os.write(ours, b"2023\nhouse\n1\ninterior-o\n")
    shown = everything(ours)
    process.wait(timeout=20)
    assert process.returncode == 0
    document = json.loads((tmp_path / "first.json").read_text())
    assert document["project"] == {"edition": "2023", "occupancy": "one-family-dwelling"}
    assert document["work"]["scope"] == "interior-only"
    for part in ("Edition of the code: ", "  1  one-family-dwelling", "house is none of these", "Next: "):
        assert part in shown
