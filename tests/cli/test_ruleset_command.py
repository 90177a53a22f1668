"""The command that looks at the rulesets themselves."""

import pytest
from click.testing import CliRunner

from changeout.application.rulesets import coverage_text, doubts_text
from changeout.cli import main
from changeout.domain.vocabulary import EDITIONS

LOCAL = """\
[jurisdiction]
id = "invented-county"
name = "Invented County"

[[adoption]]
edition = "2023"
from = 2025-01-01
event = "application-filed"
reference = "ordinance 1"
source = "invented"
"""
OWN = """\
[[requirement]]
id = "{id}"
title = "A drawing is submitted"
editions = ["2023"]
stage = "intake"
effect = "violation"
document = "drawing"
reference = "ordinance 2"
source = "invented"
because = "the reviewer needs it"
remedy = "submit one"
"""


def run(*arguments, **more):
    return CliRunner().invoke(main, ["ruleset", *map(str, arguments)], catch_exceptions=False, **more)


def test_the_list_names_every_edition_and_local_ruleset(tmp_path):
    (tmp_path / "county.toml").write_text(LOCAL, "utf-8")
    done = run("list", "--jurisdictions", tmp_path)
    assert done.exit_code == 0
    for name in (*EDITIONS, "demo-harbor-county", "invented-county"):
        assert any(line.startswith(f"{name}  ") for line in done.output.splitlines()), name
    assert done.output.count("sha256:") >= len(EDITIONS) + 3
    assert "Invented County: 2023 from 2025-01-01" in done.output


def test_a_ruleset_in_order_is_said_to_be(tmp_path):
    file = tmp_path / "county.toml"
    file.write_text(LOCAL + OWN.format(id="drawing-submitted"), "utf-8")
    done = run("check", file)
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout == (
        f"{file}: in order: local ruleset invented-county; adoptions: 1, amendments: 0, requirements of its own: 1, "
        "ceilings: 0\n"
    )


@pytest.mark.parametrize(
    "text,place,says",
    [
        ("[jurisdiction", ":1", "not TOML"),
        (LOCAL.replace('"2023"', '"2024"'), ":6", "edition"),
        (LOCAL.replace("source", "sauce"), ":10", "unknown key sauce"),
        (LOCAL.replace('id = "invented-county"\n', ""), ":1", "the key id is missing"),
        (LOCAL + OWN.format(id="working-space-width"), ":12", "already the id of a rule"),
        ("", "", "jurisdiction"),
    ],
)
def test_what_is_not_in_order_is_said_with_file_line_and_reason(tmp_path, text, place, says):
    file = tmp_path / "county.toml"
    file.write_text(text, "utf-8")
    done = run("check", file)
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(f"{file}{place}: ")
    assert says in done.stderr
    assert done.stderr.count("\n") == 1


def test_what_only_shows_when_joined_with_the_rules_is_placed_too(tmp_path):
    file = tmp_path / "county.toml"
    amendment = (
        '\n[[amendment]]\nrule = "working-space-depth"\neditions = ["2023"]\naction = "replace"\n'
        'parameters = { low_voltage_depth_in = { value = [42], unit = "in" } }\nreference = "r"\nsource = "s"\n'
    )
    file.write_text(LOCAL + amendment, "utf-8")
    done = run("check", file)
    assert (done.exit_code, done.stdout) == (2, "")
    line = (LOCAL + amendment).splitlines().index('rule = "working-space-depth"') + 1
    assert done.stderr.startswith(f"{file}:{line}: working-space-depth: low_voltage_depth_in must be a list of three")


def test_several_files_are_each_told_of(tmp_path):
    good, bad = tmp_path / "good.toml", tmp_path / "bad.toml"
    good.write_text(LOCAL, "utf-8")
    bad.write_text(LOCAL.replace('"2023"', '"2024"'), "utf-8")
    done = run("check", bad, good)
    assert done.exit_code == 2
    assert done.stdout.startswith(f"{good}: in order: ")
    assert done.stderr.startswith(f"{bad}:6: ")
    assert run("check", good, good).exit_code == 0


def test_an_edition_is_checked_against_the_rules(tmp_path):
    file = tmp_path / "2023.toml"
    file.write_text('[edition]\nname = "2023"\ncode = "x"\npreview = false\nnote = ""\n\n[rule]\n', "utf-8")
    done = run("check", file)
    assert done.exit_code == 2
    assert done.stderr.startswith(f"{file}: the rule ")
    assert "has no row" in done.stderr


def test_standard_input_is_read():
    assert "in order: local ruleset" in run("check", "-", input=LOCAL).output


@pytest.mark.parametrize("content", [None, b"\xff\xfe"])
def test_a_file_that_cannot_be_read_ends_with_status_2(tmp_path, content):
    file = tmp_path / "county.toml"
    if content is not None:
        file.write_bytes(content)
    done = run("check", file)
    assert done.exit_code == 2
    assert str(file) in done.stderr


def test_doubts_and_coverage_are_the_pages_of_the_documentation():
    assert run("doubts").output == doubts_text()
    assert run("coverage").output == coverage_text()


def test_doubts_of_one_edition():
    done = run("doubts", "--edition", "2020")
    assert done.output == doubts_text("2020")
    assert "## Edition 2020" in done.output
    assert "## Edition 2023" not in done.output
    refused = run("doubts", "--edition", "2019")
    assert (refused.exit_code, "known: 2017" in refused.stderr) == (2, True)
