"""Every command's help shows examples, and what it shows runs."""

import re
import shlex
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from changeout.application.service import Service
from changeout.cli import main

SERVICE = Service.load()
LOCAL = Path(__file__).parents[2] / "service/changeout/editions/local/demo-saltmarsh-township.toml"
NEEDED = ("check", "compare", "explain", "calculate", "diff", "ruleset", "schema", "example", "new", "serve")
ENDLESS = {"serve", "--watch"}
"""What runs until it is stopped: only its options are read here."""


def commands(command=main, words=()):
    yield words, command
    for name, inner in getattr(command, "commands", {}).items():
        yield from commands(inner, (*words, name))


ALL = {" ".join(words): command for words, command in commands()}


def help_of(words):
    done = CliRunner().invoke(main, [*words.split(), "--help"], prog_name="changeout", terminal_width=100)
    assert done.exit_code == 0
    return done.stdout


def examples(words):
    """Return the commands of a help's examples, each a list of what is piped into the next."""
    shown = re.search(r"^  Examples?:\n((?:    .*\n)+)", help_of(words), re.MULTILINE)
    assert shown, f"changeout {words} --help has no examples"
    return [line.strip() for line in shown[1].replace("\\\n", " ").splitlines()]


EXAMPLES = list(dict.fromkeys(line for words in ALL for line in examples(words)))


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    """A folder with all the files that examples speak of."""
    folder = tmp_path_factory.mktemp("prepared")
    whole, open_ = SERVICE.example("dwelling-service"), SERVICE.example("half-known-dwelling")
    for name in ("proposal", "submitted", "building", "proposals/2026-one"):
        (folder / f"{name}.json").parent.mkdir(exist_ok=True)
        (folder / f"{name}.json").write_bytes(whole)
    for name in ("resubmitted", "proposals/2026-two"):
        (folder / f"{name}.json").write_bytes(open_)
    (folder / "unit-1.json").write_text('{"project": {"reference": "unit 1"}}')
    (folder / "decisions.json").write_text("[]")
    reports = run(["check", str(folder / "proposals"), "--format", "json"])
    (folder / "reports.ndjson").write_text(reports.stdout)
    (folder / "local").mkdir()
    text = LOCAL.read_text("utf-8").replace("demo-saltmarsh-township", "our-township")
    for name in ("our-county.toml", "local/our-township.toml"):
        (folder / name).write_text(text, "utf-8")
    return folder


@pytest.fixture
def folder(prepared, tmp_path, monkeypatch):
    monkeypatch.chdir(shutil.copytree(prepared, tmp_path / "here"))


def run(words, given=None, **variables):
    return CliRunner(env=variables).invoke(main, words, input=given, prog_name="changeout", catch_exceptions=False)


def words_of(command):
    """Return the words of a command and its variables, patterns replaced by what they match, as a shell does."""
    words, variables = shlex.split(command), {}
    while "=" in words[0]:
        name, _, value = words.pop(0).partition("=")
        variables[name] = value
    assert words.pop(0) == "changeout"
    matched = [
        sorted(map(str, Path().glob(word))) if "*" in word and f"'{word}'" not in command else [] for word in words
    ]
    return [one for word, found in zip(words, matched, strict=True) for one in found or [word]], variables


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize("line", EXAMPLES)
def test_an_example_runs(line):
    given = None
    for part in line.partition(" > ")[0].split(" | "):
        command, _, source = part.partition(" < ")
        words, variables = words_of(command)
        if ENDLESS & set(words):
            main.commands[words[0]].make_context(words[0], words[1:])
            return
        if "--output" in words:
            Path(words[words.index("--output") + 1]).unlink(missing_ok=True)
        if source:
            given = Path(source).read_bytes()
        elif words[0] == "new":
            given = b"3\n1\n1\n"
        done = run(words, given, **variables)
        # 1 is a verdict to fail on: the example did its work.
        assert done.exit_code == 0 or (words[0] == "check" and done.exit_code == 1), (line, done.output)
        given = done.stdout_bytes


@pytest.mark.parametrize("name", NEEDED)
def test_the_commands_are_there(name):
    assert name in main.commands


@pytest.mark.parametrize("words", ALL)
def test_lines_fit_and_every_option_is_explained(words):
    assert max(map(len, help_of(words).splitlines())) <= 104
    for option in ALL[words].params:
        assert option.param_type_name == "argument" or option.help, (words, option.name)


def test_the_list_of_commands_is_not_cut_short():
    listed = help_of("").split("Commands:")[1].split("Examples:")[0]
    assert "..." not in listed
