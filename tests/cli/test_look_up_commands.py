"""``changeout explain``, ``calculate``, ``schema`` and ``example``."""

import json

import pytest
from click.testing import CliRunner

from changeout.application.calculations import CALCULATIONS
from changeout.application.service import Service
from changeout.cli import main
from changeout.intake.json_schema import proposal_schema
from changeout.render.report_schema import report_schema

SERVICE = Service.load()
RULE = "short-circuit-rating-at-least-fault-current"


def run(*arguments, **options):
    return CliRunner().invoke(main, list(arguments), catch_exceptions=False, **options)


class TestExplain:
    def test_text_has_every_part(self):
        done = run("explain", RULE, "--edition", "2020")
        page = SERVICE.rule("2020", RULE)
        flat = " ".join(done.stdout.split())
        for part in ("title", "because", "passes", "fails", "cannot_tell", "source"):
            assert " ".join(str(page[part]).split()) in flat
        assert f"{RULE} (edition 2020)" in flat

    def test_json_is_the_page(self):
        assert json.loads(run("explain", RULE, "--edition", "2017", "--format", "json").stdout) == SERVICE.rule(
            "2017", RULE
        )

    def test_the_newest_edition_that_is_no_preview_is_taken(self):
        done = json.loads(run("explain", RULE, "--format", "json").stdout)
        finished = [name for name in SERVICE.editions() if not SERVICE.edition(name)["preview"]]
        assert done["edition"] == finished[-1]

    def test_every_rule_can_be_explained(self):
        for entry in SERVICE.edition("2023")["entries"]:
            assert run("explain", entry["rule"]).exit_code == 0

    def test_a_rule_that_is_not_there_names_the_nearest(self):
        done = run("explain", "short-circuit-rating-at-least-fault-curent")
        assert done.exit_code == 2
        assert RULE in done.stderr

    def test_an_edition_that_is_not_there(self):
        assert run("explain", RULE, "--edition", "1999").exit_code == 2


class TestCalculate:
    @pytest.mark.parametrize("kind", list(CALCULATIONS))
    @pytest.mark.parametrize("name", ["dwelling-service", "half-known-dwelling"])
    def test_json_is_the_calculation_and_text_shows_it(self, kind, name, tmp_path):
        path = tmp_path / "proposal.json"
        path.write_bytes(SERVICE.example(name))
        expected = SERVICE.calculate(kind, path.read_bytes())
        assert json.loads(run("calculate", kind, str(path), "--format", "json").stdout) == expected
        text = run("calculate", kind, str(path)).stdout
        assert expected["title"] in text
        for step in expected["steps"]:
            assert step["symbol"] in text

    def test_standard_input_and_refusals(self):
        assert run("calculate", "fault-current", "-", input=SERVICE.example("dwelling-service")).exit_code == 0
        done = run("calculate", "fault-current", "-", input=b"{")
        assert done.exit_code == 2
        assert "<standard input>:1:2: malformed-json: " in done.stderr


class TestDocuments:
    def test_schemas(self):
        assert json.loads(run("schema", "proposal").stdout) == proposal_schema()
        assert json.loads(run("schema", "report").stdout) == report_schema()

    def test_examples(self):
        assert run("example").stdout.split() == list(SERVICE.examples())
        for name in SERVICE.examples():
            assert run("example", name).stdout_bytes == SERVICE.example(name)
        assert run("example", "nothing").exit_code == 2


def test_help_of_every_command_has_an_example():
    for name in main.commands:
        done = run(name, "--help")
        assert done.exit_code == 0
        assert f"  changeout {name}" in done.stdout
