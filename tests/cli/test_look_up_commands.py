"""``changeout explain``, ``calculate``, ``schema`` and ``example``."""

import json

import pytest
from click.testing import CliRunner

from changeout.application.calculations import CALCULATIONS
from changeout.application.published_schema import published_schema
from changeout.application.rulesets import members_text
from changeout.application.service import Service
from changeout.cli import main
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

    def test_without_a_rule_all_are_listed(self):
        done = run("explain", "--edition", "2023")
        assert done.exit_code == 0
        for entry in SERVICE.edition("2023")["entries"]:
            assert f"\n  {entry['rule']}  [{entry['section'] or 'no section'}" in done.stdout
        assert json.loads(run("explain", "--edition", "2023", "--format", "json").stdout) == SERVICE.edition("2023")

    @pytest.mark.parametrize("section", ["110.26", "110.26(A)(1)", "408.37"])
    def test_a_section_lists_the_rules_at_it_and_below(self, section):
        listed = {
            entry["rule"]
            for entry in SERVICE.edition("2023")["entries"]
            if any(at == section or at.startswith(f"{section}(") for at in (entry["section"] or "", *entry["also"]))
        }
        done = run("explain", section, "--edition", "2023")
        assert done.exit_code == 0
        assert {line.split()[0] for line in done.stdout.splitlines() if "  [" in line} == listed
        assert listed
        page = json.loads(run("explain", section, "--edition", "2023", "--format", "json").stdout)
        assert {entry["rule"] for entry in page["entries"]} == listed

    def test_a_section_is_no_beginning_of_another(self):
        assert run("explain", "110.2", "--edition", "2023").stdout.count("  [110.2]") == 1
        assert "110.26" not in run("explain", "110.2", "--edition", "2023").stdout

    def test_part_of_an_id_is_answered_with_what_it_may_mean(self):
        done = run("explain", "working-space")
        assert (done.exit_code, done.stdout) == (2, "")
        assert "working-space-depth" in done.stderr
        assert "working-space-width" in done.stderr
        assert RULE not in done.stderr

    def test_what_is_like_nothing_is_told_how_to_list(self):
        assert "has no rule zzzz; without one, all are listed" in run("explain", "zzzz").stderr

    @pytest.mark.parametrize(
        "rule,edition,says",
        [
            (RULE, "2023", "since 2017; not meeting it is a violation"),
            ("former-listing-marks-removed", "2017", "not in this edition, which only advises; asked since 2020"),
            ("panelboard-short-circuit-rating-field-marking", "2023", "not in this edition; asked since 2026"),
        ],
    )
    def test_the_text_says_whether_it_is_asked(self, rule, edition, says):
        assert f"Asked:       {says}\n" in run("explain", rule, "--edition", edition).stdout

    def test_the_text_shows_examples_with_their_sources(self):
        flat = " ".join(run("explain", RULE, "--edition", "2023").stdout.split())
        examples = SERVICE.rule("2023", RULE)["examples"]
        assert len(examples) == flat.count("Example: ") > 2
        for example in examples:
            assert f"Example: {example['case']}: {example['outcome']} The example {example['start']} " in flat
            assert f"Source: {' '.join(example['source'].split())}" in flat

    def test_limits_are_written_for_people(self):
        assert "low_voltage_depth_in = 36, 36, 36 in\n" in run("explain", "working-space-depth").stdout
        wordings = run("explain", "emergency-disconnect-marking", "--edition", "2023").stdout
        assert "wordings = EMERGENCY DISCONNECT, SERVICE DISCONNECT; EMERGENCY" in wordings

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
        assert json.loads(run("schema", "proposal").stdout) == published_schema()
        assert json.loads(run("schema", "report").stdout) == report_schema()

    def test_markdown_is_there_of_proposals_only(self):
        assert run("schema", "proposal", "--format", "markdown").stdout == members_text()
        done = run("schema", "report", "--format", "markdown")
        assert (done.exit_code, done.stdout) == (2, "")

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
