"""``changeout calculate KIND FILE``: a table of steps, or JSON."""

import json

import pytest
from click.testing import CliRunner

from changeout.application.calculations import CALCULATIONS
from changeout.application.service import Service
from changeout.cli import main
from edited_proposals import ABSENT, edited, example

SERVICE = Service.load()


def run(*arguments, **options):
    return CliRunner().invoke(main, ["calculate", *arguments], catch_exceptions=False, **options)


@pytest.mark.parametrize("kind", CALCULATIONS)
def test_the_table_has_the_headings_and_the_result_above_it(kind):
    done = run(kind, "-", input=example("house-with-pv"))
    assert done.exit_code == 0
    lines = done.stdout.splitlines()
    assert lines[0].startswith(SERVICE.calculate(kind, example("house-with-pv"))["title"] + ": ")
    heading = next(line for line in lines if line.startswith("symbol"))
    assert heading.split() == ["symbol", "name", "expression", "value", "source"]
    assert max(map(len, lines)) <= 120


def test_columns_stand_under_each_other():
    done = run("conductor-sizes", "-", input=example("plant-service-480y"))
    lines = done.stdout.splitlines()
    heading = next(line for line in lines if line.startswith("symbol"))
    row = next(line for line in lines if line.startswith("A_b "))
    assert row[heading.index("name") :].startswith("main bonding jumper")
    assert row[heading.index("expression") :].startswith("max(133.1, 0.125 x 1200)")
    assert row[heading.index("value") :].startswith("150 kcmil")


@pytest.mark.parametrize("kind", CALCULATIONS)
def test_json_is_the_calculation(kind):
    done = run(kind, "-", "--format", "json", "--edition", "2020", input=example("office-behind-transformer"))
    assert json.loads(done.stdout) == SERVICE.calculate(kind, example("office-behind-transformer"), edition="2020")


def test_what_is_missing_is_listed():
    done = run("busbar", "-", input=edited("house-with-pv", {"/generation/0/position": ABSENT}))
    assert "Missing:\n  - /generation/0/position" in done.stdout
    done = run("ampacity", "-", input=edited("dwelling-service", {"/supply/runs": ABSENT}))
    assert "Missing:\n  - /supply/runs" in done.stdout
    assert "0 A or more" in done.stdout.splitlines()[0]


def test_another_kind_and_unreadable_files_are_refused():
    done = run("tea", "-", input=example("dwelling-service"))
    assert done.exit_code == 2
    for kind in CALCULATIONS:
        assert kind in done.stderr
    assert run("load", "no-such-file.json").exit_code == 2
    done = run("load", "-", input=edited("dwelling-service", {"/supply/system": "12 V"}))
    assert done.exit_code == 2
    assert "<standard input>:" in done.stderr
    assert run("load", "-", "--edition", "1999", input=example("dwelling-service")).exit_code == 2
