"""README and DEVELOPERS: their commands, links and addresses are good."""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from changeout.cli import main
from changeout.web.app import create_app
from changeout.web.settings import Settings

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def test_the_readme_has_two_commands():
    setting_up, testing = re.findall(r"^```sh\n(.*)\n```$", README, re.MULTILINE)
    assert setting_up.startswith("python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/changeout check ")
    assert testing == "bash tests/run"
    assert (ROOT / "tests/run").is_file()


def test_the_first_command_ends_with_a_report(monkeypatch):
    monkeypatch.chdir(ROOT)
    (line,) = re.findall(r"\.venv/bin/changeout (check .*)", README)
    done = CliRunner().invoke(main, shlex.split(line), catch_exceptions=False)
    assert done.exit_code == 0
    assert "VIOLATION" in done.stdout


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_links_lead_to_files(text):
    for link in re.findall(r"\]\(([^)]+)\)", text):
        assert (ROOT / link).exists(), link


def test_addresses_are_served():
    client = create_app(Settings()).test_client()
    addresses = re.findall(r"<http://127\.0\.0\.1:8080(/\w+)>", README)
    assert addresses == ["/review", "/docs"]
    for address in addresses:
        assert client.get(address).status_code == 200


def test_folders_and_commands_that_developers_are_told_of_exist():
    for folder in re.findall(r"^\| `(\w+/)`", DEVELOPERS, re.MULTILINE):
        assert (ROOT / "service/changeout" / folder).is_dir(), folder
    for module in re.findall(r"python -m ([\w.]+)", DEVELOPERS):
        assert (ROOT / "service" / f"{module.replace('.', '/')}.py").is_file(), module
    for command in re.findall(r"changeout ((?:ruleset|schema) [a-z]+)", DEVELOPERS + README):
        assert CliRunner().invoke(main, [*command.split(), "--help"]).exit_code == 0, command


def test_every_package_stands_in_the_table():
    packages = {path.parent.name for path in (ROOT / "service/changeout").glob("*/__init__.py")} - {"docs", "examples"}
    named = set(re.findall(r"`(\w+)/`", DEVELOPERS.split("| folder of")[1].split("\n\n")[0]))
    assert packages <= named
