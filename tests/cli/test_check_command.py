"""``changeout check``: exit status, what goes where, and which files are taken."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from changeout.application.service import Service
from changeout.cli import main
from changeout.render.problem_json import problem_schema
from changeout.render.report_schema import report_schema

SERVICE = Service.load()
VERDICTS = {name: SERVICE.validate(SERVICE.example(name)).verdict for name in SERVICE.examples()}


def example_with(*verdicts):
    return next(name for name, verdict in VERDICTS.items() if verdict in verdicts)


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "sub").mkdir()
    return tmp_path


@pytest.fixture
def conforming(folder):
    path = folder / "conforming.json"
    path.write_bytes(SERVICE.example(example_with("conforms", "conforms-with-conditions")))
    return str(path)


@pytest.fixture
def undetermined(folder):
    path = folder / "undetermined.json"
    path.write_bytes(SERVICE.example(example_with("undetermined")))
    return str(path)


@pytest.fixture
def violating(folder):
    document = json.loads(SERVICE.example("dwelling-service"))
    document["panelboard"]["short_circuit_rating"] = "1 kA"
    path = folder / "violating.json"
    path.write_text(json.dumps(document, indent=2))
    return str(path)


@pytest.fixture
def unreadable(folder):
    path = folder / "unreadable.json"
    path.write_text('{\n  "changeout": 1,\n  "project": }\n')
    return str(path)


def run(*arguments, **options):
    return CliRunner().invoke(main, ["check", *arguments], catch_exceptions=False, **options)


class TestExitStatus:
    def test_nothing_to_fail_on(self, conforming):
        assert run(conforming).exit_code == 0

    def test_a_violation(self, violating):
        assert run(violating).exit_code == 1
        assert run(violating, "--fail-on", "undetermined").exit_code == 1
        assert run(violating, "--fail-on", "never").exit_code == 0

    def test_undetermined_fails_only_when_asked_to(self, undetermined):
        assert run(undetermined).exit_code == 0
        assert run(undetermined, "--fail-on", "undetermined").exit_code == 1
        assert run(undetermined, "--fail-on", "never").exit_code == 0

    def test_a_file_that_cannot_be_read_wins(self, conforming, violating, unreadable):
        assert run(unreadable).exit_code == 2
        assert run(violating, unreadable, conforming).exit_code == 2
        assert run(unreadable, "--fail-on", "never").exit_code == 2

    def test_one_violation_among_several_is_enough(self, conforming, violating):
        assert run(violating, conforming).exit_code == 1

    @pytest.mark.parametrize(
        "arguments",
        [("x.json", "--edition", "1999"), ("x.json", "--format", "xml"), (), ("x.json", "--fail-on", "tea")],
    )
    def test_what_cannot_be_used_is_never_one(self, arguments):
        assert run(*arguments).exit_code == 2

    def test_a_broken_ruleset(self, folder, conforming):
        (folder / "sub" / "local.toml").write_text("[jurisdiction]\nodd = true\n")
        done = run(conforming, "--jurisdictions", str(folder / "sub"))
        assert done.exit_code == 2
        assert "local.toml" in done.stderr

    def test_a_file_that_is_not_there(self, conforming):
        done = run("nothing.json", conforming)
        assert done.exit_code == 2
        assert "nothing.json: not-found: " in done.stderr
        assert "conforming.json: " in done.stdout

    def test_the_process_exits_so_too(self, violating, unreadable):
        for name, status in ((violating, 1), (unreadable, 2)):
            command = [sys.executable, "-m", "changeout", "check", name]
            assert subprocess.run(command, capture_output=True, check=False).returncode == status


class TestFiles:
    def test_standard_input(self, violating):
        done = run("-", input=Path(violating).read_bytes())
        assert done.exit_code == 1
        assert done.stdout.startswith("<standard input>: VIOLATIONS under edition 2023")
        assert "(<standard input>:" in done.stdout

    @pytest.mark.usefixtures("conforming", "violating")
    def test_a_folder_stands_for_the_json_files_in_it_and_below(self, folder):
        (folder / "sub" / "below.json").write_bytes(SERVICE.example("dwelling-service"))
        (folder / "sub" / "other.txt").write_text("not this")
        done = run(str(folder), "--format", "json")
        assert len(done.stdout.splitlines()) == 3
        assert "3 files: " in done.stderr

    @pytest.mark.usefixtures("conforming", "violating")
    def test_a_pattern_in_quotes(self, folder):
        done = run(str(folder / "*ing.json"), "--format", "json")
        assert [json.loads(line)["verdict"] for line in done.stdout.splitlines()][1] == "violations"

    def test_an_empty_folder_and_a_pattern_without_a_match_are_not_passed_over(self, folder):
        assert run(str(folder / "sub")).exit_code == 2
        assert run(str(folder / "*.yaml")).exit_code == 2

    def test_a_file_over_the_limit(self, folder):
        path = folder / "large.json"
        path.write_bytes(SERVICE.example("dwelling-service") + b" " * 1024 * 1024)
        done = run(str(path))
        assert done.exit_code == 2
        assert "body-too-large" in done.stderr


class TestText:
    def test_violations_come_first_and_the_rest_is_counted(self, violating):
        done = run(violating)
        lines = done.stdout.splitlines()
        outcomes = [
            line.split()[0]
            for line in lines
            if line.startswith(("VIOLATION ", "UNDETERMINED ", "ADVISORY ", "SATISFIED "))
        ]
        assert outcomes == sorted(outcomes, key=["VIOLATION", "UNDETERMINED", "ADVISORY"].index)
        assert outcomes[0] == "VIOLATION"
        assert "satisfied" in done.stdout
        assert "SATISFIED" not in done.stdout

    def test_all_lists_the_satisfied_too(self, violating):
        done = run(violating, "--all")
        assert "SATISFIED" in done.stdout
        assert "Does not apply (" in done.stdout
        assert "Listed in full: --all." in run(violating).stdout

    def test_a_finding_has_figures_place_and_rule(self, violating):
        text = run(violating).stdout
        block = text[text.index("VIOLATION ") :].split("\n\n")[0]
        assert "1,000 A" in block
        assert "required:" in block
        assert "rule:     short-circuit-rating-at-least-fault-current" in block
        lines = Path(violating).read_text().splitlines()
        line = next(n for n, text in enumerate(lines, 1) if '"panelboard": {' in text)
        assert f"/panelboard ({violating}:{line}:" in block.replace("\n            ", " ")

    def test_questions_come_first_where_nothing_is_wrong_and_the_deferring_sentence_last(self, undetermined):
        text = run(undetermined).stdout
        assert text.index("Questions") < text.index("\nUNDETERMINED ") < text.index("Counts:") < text.index("Cautions")
        report = SERVICE.validate(SERVICE.example(example_with("undetermined")))
        assert report.defers_to in " ".join(text.split())

    def test_what_cannot_be_read_is_located_on_standard_error(self, unreadable):
        done = run(unreadable)
        assert done.stdout == ""
        # The value is missed at the closing brace of line 3, after `  "project": `, which is 13 characters long.
        assert done.stderr.startswith(f"{unreadable}:3:14: malformed-json: ")

    def test_every_error_of_a_proposal_has_its_line(self, folder):
        document = json.loads(SERVICE.example("dwelling-service"))
        document["panelboard"]["busbar_rating"] = 200
        document["panelboard"]["colour"] = "grey"
        path = folder / "wrong.json"
        path.write_text(json.dumps(document, indent=1))
        lines = run(str(path)).stderr.splitlines()
        assert len(lines) == 2
        assert any("bare-number" in line and "[/panelboard/busbar_rating]" in line for line in lines)
        assert any("unknown-member" in line and "[/panelboard/colour]" in line for line in lines)

    def test_no_colour_where_nobody_sees_it(self, violating):
        assert "\x1b" not in run(violating).stdout

    def test_text_of_a_file_cannot_steer_the_terminal(self, folder):
        path = folder / "steer.json"
        path.write_text('{"changeout": 1, "\\u001b[2J\\u202e": 1}')
        done = run(str(path))
        assert done.exit_code == 2
        assert "\x1b" not in done.stderr
        assert "\u202e" not in done.stderr


class TestJson:
    def test_one_file_gives_the_report(self, violating):
        report = json.loads(run(violating, "--format", "json").stdout)
        Draft202012Validator(report_schema()).validate(report)
        assert report["verdict"] == "violations"

    def test_several_files_give_a_line_each_in_order(self, violating, unreadable, conforming):
        done = run(violating, unreadable, conforming, "--format", "json")
        first, second, third = (json.loads(line) for line in done.stdout.splitlines())
        Draft202012Validator(report_schema()).validate(first)
        Draft202012Validator(problem_schema()).validate(second)
        assert second["code"] == "malformed-json"
        assert third["verdict"].startswith("conforms")

    def test_edition_and_detail_are_passed_on(self, violating):
        report = json.loads(run(violating, "--format", "json", "--edition", "2017", "--detail", "findings").stdout)
        assert report["ruleset"]["edition"] == "2017"
        assert "calculations" not in report


def test_progress_of_several_files_is_told_on_standard_error(violating, conforming):
    done = run(violating, conforming)
    assert f"{violating}: violations" in done.stderr
    assert run(violating).stderr == ""


def test_help_teaches_by_example():
    done = run("--help")
    assert "changeout check proposal.json" in done.stdout
    assert "NDJSON" in done.stdout
    assert "Exit status:" in done.stdout
