"""A page of the documentation, followed block by block as a reader would, in an empty folder.

How blocks are read:

- ``sh``: commands, one a line (a backslash goes on with the next); ``# exit status N`` says how one ends, else 0.
  ``changeout serve`` starts a service; http://127.0.0.1:8080 is then where it listens.
- ``json NAME``, ``toml NAME``, ``yaml NAME``: a file to be written.
- ``json``: a part of what the command before wrote.
- ``text``: lines that the command before wrote, however it broke them.
- ``python``: a program that runs.
"""

import json
import os
import re
import shlex
import subprocess
import sys
from contextlib import ExitStack
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path

from click.testing import CliRunner

from changeout.cli import main
from serving import serving

SERVED_AT = "http://127.0.0.1:8080"
_FILES = {"json", "toml", "yaml"}


@dataclass(frozen=True)
class Block:
    """A fenced block: its language, the file it is or None, its text, and the line it begins at."""

    language: str
    name: str | None
    text: str
    line: int


def text_of(page):
    return (files("changeout.docs") / f"{page}.md").read_text("utf-8")


def blocks_of(page):
    text = text_of(page)
    found = []
    for match in re.finditer(r"^```(\w*) ?(\S*)\n(.*?)^```$", text, re.DOTALL | re.MULTILINE):
        language, name, inner = match.groups()
        found.append(Block(language, name or None, inner, text[: match.start()].count("\n") + 1))
    return found


@dataclass
class Reader:
    """Somebody who follows a page in *folder*."""

    folder: Path
    stack: ExitStack
    wrote: str = ""
    url: str | None = None
    followed: list[str] = field(default_factory=list)

    def follow(self, block):
        if block.name is not None:
            assert block.language in _FILES, block
            (self.folder / block.name).parent.mkdir(parents=True, exist_ok=True)
            (self.folder / block.name).write_text(block.text, "utf-8")
        elif block.language == "sh":
            for line in _commands(block.text):
                self.run(line, block)
        elif block.language == "python":
            self.wrote = self._process([sys.executable, "-W", "error", "-c", self._here(block.text)], 0, block)
        elif block.language == "json":
            assert contains(json.loads(self.wrote), json.loads(block.text)), f"line {block.line}: not in {self.wrote}"
        else:
            assert block.language == "text", block
            for line in block.text.splitlines():
                assert _plain(line) in _plain(self.wrote), f"line {block.line}: {line!r} is not in {self.wrote}"

    def run(self, line, block):
        command, _, status = line.partition("  # exit status ")
        expected = int(status or 0)
        words = shlex.split(command)
        self.followed.append(command)
        if words[:2] == ["changeout", "serve"]:
            self.url = self.stack.enter_context(serving(self.folder, *words[2:])).url
            return
        shown, _, target = command.partition(" > ")
        if words[0] == "changeout" and not re.search(r"[|<;&$]", shown):
            done = CliRunner().invoke(main, shlex.split(shown)[1:], prog_name="changeout", catch_exceptions=False)
            assert done.exit_code == expected, (block.line, command, done.exit_code, done.output)
            if target:
                (self.folder / target).write_text(done.stdout, "utf-8")
            self.wrote = done.stdout if _is_json(done.stdout) else done.output
        else:
            self.wrote = self._process(["bash", "-c", self._here(command)], expected, block)

    def _here(self, text):
        assert SERVED_AT not in text or self.url, "no service was started"
        return text.replace(SERVED_AT, self.url or "")

    def _process(self, arguments, expected, block):
        done = subprocess.run(
            arguments,
            cwd=self.folder,
            env={
                **os.environ,
                "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}",
                "PRE_COMMIT_HOME": str(self.folder.parent / "pre-commit"),
            },
            capture_output=True,
            text=True,
            check=False,
            timeout=120,
        )
        assert done.returncode == expected, (block.line, arguments, done.returncode, done.stdout, done.stderr)
        return done.stdout if _is_json(done.stdout) else done.stdout + done.stderr


def _commands(text):
    return [line for line in text.replace("\\\n", " ").splitlines() if line.strip() and not line.startswith("#")]


def _is_json(text):
    try:
        json.loads(text)
    except ValueError:
        return False
    return True


def _plain(text):
    return " ".join(text.split())


def contains(whole, part):
    """Whether *part* is in *whole*: an object with these members, a list with these entries, in order."""
    if isinstance(part, dict):
        return isinstance(whole, dict) and all(name in whole and contains(whole[name], part[name]) for name in part)
    if isinstance(part, list) and isinstance(whole, list):
        rest = iter(whole)
        return all(any(contains(entry, wanted) for entry in rest) for wanted in part)
    return whole == part
