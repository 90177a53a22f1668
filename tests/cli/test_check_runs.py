"""``changeout check`` over many files: forms, processes, baseline, base document, watching, variables."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from xml.etree import ElementTree as ET

import pytest
from click.testing import CliRunner

from changeout.application.service import Service
from changeout.cli import judging, main
from changeout.cli.watching import rounds

SERVICE = Service.load()
RULE = "short-circuit-rating-at-least-fault-current"


@pytest.fixture
def document():
    return json.loads(SERVICE.example("dwelling-service"))


@pytest.fixture
def files(tmp_path, document):
    """Write a conforming, a violating, an open and an unreadable file and return their names."""
    (tmp_path / "conforming.json").write_text(json.dumps(document))
    document["panelboard"]["short_circuit_rating"] = "1 kA"
    document["project"]["reference"] = "WH-1"
    (tmp_path / "violating.json").write_text(json.dumps(document))
    (tmp_path / "open.json").write_bytes(SERVICE.example("half-known-dwelling"))
    (tmp_path / "broken.json").write_text("{]")
    return {name: str(tmp_path / f"{name}.json") for name in ("conforming", "violating", "open", "broken")}


def run(*arguments, **options):
    return CliRunner().invoke(main, ["check", *arguments], catch_exceptions=False, **options)


class TestForms:
    def test_sarif_gathers_all_files_and_what_was_refused(self, files):
        done = run(files["violating"], files["broken"], files["open"], "--format", "sarif")
        assert done.exit_code == 2
        log = json.loads(done.stdout)
        results = [r for one in log["runs"] for r in one["results"]]
        uris = {r["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for r in results}
        assert {uri.rsplit("/", 1)[1] for uri in uris} == {"violating.json", "open.json"}
        assert "malformed-json" in done.stdout

    def test_all_adds_what_is_satisfied_to_sarif(self, files):
        few, many = (
            json.loads(run(files["conforming"], "--format", "sarif", *more).stdout) for more in ((), ("--all",))
        )
        assert len(many["runs"][0]["results"]) > len(few["runs"][0]["results"])

    def test_junit_has_a_suite_for_each_file(self, files):
        done = run(files["violating"], files["broken"], "--format", "junit")
        root = ET.fromstring(done.stdout.encode())
        names = [suite.get("name").rsplit("/", 1)[1] for suite in root.iter("testsuite")]
        assert names == ["violating.json", "broken.json"]
        assert root.find(".//failure") is not None
        assert root.find(".//error") is not None

    def test_markdown_and_html_name_the_project(self, files):
        for form in ("markdown", "html"):
            done = run(files["violating"], "--format", form)
            assert done.exit_code == 1
            assert "WH-1" in done.stdout
        assert run(files["violating"], "--format", "html").stdout.startswith("<!DOCTYPE html>")

    def test_html_takes_one_file(self, files):
        done = run(files["violating"], files["open"], "--format", "html")
        assert (done.exit_code, done.stdout) == (2, "")


class TestProcesses:
    @pytest.mark.parametrize("form", ["text", "json", "markdown", "sarif", "junit"])
    @pytest.mark.parametrize("forks", [True, False])
    def test_the_results_are_those_of_one_process_in_the_same_order(self, files, forks, form, monkeypatch):
        """Where processes are made of this one as it is, and where each begins anew, as on systems that do not fork."""
        monkeypatch.setattr(judging, "_FORKS", forks)
        names = [files[name] for name in ("open", "broken", "violating", "conforming")]
        alone, shared = run(*names, "--format", form), run(*names, "--format", form, "--jobs", "2")
        assert (shared.stdout, shared.stderr, shared.exit_code) == (alone.stdout, alone.stderr, alone.exit_code)

    def test_standard_input_is_read_once(self, files):
        done = run("-", files["open"], "--jobs", "2", "--format", "json", input=SERVICE.example("dwelling-service"))
        assert next(json.loads(line)["project"]["reference"] for line in done.stdout.splitlines()) == "WH-2104"


class TestQuestions:
    def test_what_settles_most_over_all_files_is_told_at_the_end(self, files, tmp_path):
        (tmp_path / "again.json").write_bytes(SERVICE.example("half-known-dwelling"))
        done = run(files["open"], str(tmp_path / "again.json"))
        told = " ".join(done.stdout[done.stdout.index("What is asked in all files") :].split())
        report = SERVICE.validate(SERVICE.example("half-known-dwelling"))
        question = next(q for q in report.questions if q.pointer == "/supply/source/impedance_percent")
        assert f"[{question.pointer}]: settles {2 * question.settles} findings in 2 files" in told

    def test_one_file_has_its_own_questions_only(self, files):
        assert "What is asked in all files" not in run(files["open"]).stdout


class TestBaseline:
    def former(self, tmp_path, *names):
        path = tmp_path / "former.reports"
        path.write_text(run(*names, "--format", "json").stdout)
        return str(path)

    def test_what_was_found_before_does_not_fail(self, files, tmp_path):
        assert run(files["violating"]).exit_code == 1
        former = self.former(tmp_path, files["violating"])
        assert run(files["violating"], "--baseline", former).exit_code == 0

    def test_what_is_new_fails_and_is_named(self, files, tmp_path):
        former = self.former(tmp_path, files["conforming"])
        done = run(files["violating"], "--baseline", former)
        assert done.exit_code == 1
        assert f"violating.json: new: violation: {RULE} [/panelboard]" in done.stderr
        assert run(files["violating"], "--baseline", former, "--fail-on", "never").exit_code == 0

    def test_an_undetermined_that_became_a_violation_is_new(self, files, tmp_path):
        document = json.loads((tmp_path / "violating.json").read_text())
        del document["panelboard"]["short_circuit_rating"]
        (tmp_path / "silent.json").write_text(json.dumps(document))
        former = self.former(tmp_path, str(tmp_path / "silent.json"))
        assert run(files["violating"], "--baseline", former).exit_code == 1

    def test_several_files_are_held_against_the_report_of_their_project(self, files, tmp_path):
        former = self.former(tmp_path, files["violating"], files["conforming"])
        assert run(files["violating"], files["conforming"], "--baseline", former).exit_code == 0
        document = json.loads((tmp_path / "violating.json").read_text())
        document["project"]["reference"] = "WH-2"
        (tmp_path / "other.json").write_text(json.dumps(document))
        # Another project's violation excuses nobody.
        assert run(str(tmp_path / "other.json"), files["conforming"], "--baseline", former).exit_code == 1

    def test_a_file_without_a_reference_is_excused_by_nobody_elses_report(self, files, tmp_path):
        document = json.loads((tmp_path / "violating.json").read_text())
        del document["project"]["reference"]
        (tmp_path / "nameless.json").write_text(json.dumps(document))
        former = self.former(tmp_path, str(tmp_path / "nameless.json"))
        assert run(str(tmp_path / "nameless.json"), files["conforming"], "--baseline", former).exit_code == 1

    def test_what_was_waived_then_is_new_without_the_waiver(self, files, tmp_path):
        document = json.loads((tmp_path / "violating.json").read_text())
        document["waivers"] = [
            {
                "rule": RULE,
                "reason": "tested",
                "granted_by": "authority having jurisdiction",
                "expires_on": "2027-12-31",
            }
        ]
        (tmp_path / "waived.json").write_text(json.dumps(document))
        former = self.former(tmp_path, str(tmp_path / "waived.json"))
        assert json.loads((tmp_path / "former.reports").read_text())["counts"]["waived"] == 1
        assert run(files["violating"], "--baseline", former).exit_code == 1

    @pytest.mark.parametrize("text", ["", "[]", "{}", "{]", '{"code": "malformed-json"}'])
    def test_what_is_no_report_cannot_be_used(self, files, tmp_path, text):
        (tmp_path / "former.reports").write_text(text)
        assert run(files["violating"], "--baseline", str(tmp_path / "former.reports")).exit_code == 2

    def test_reports_or_files_that_cannot_be_told_apart_are_refused(self, files, tmp_path):
        twice = self.former(tmp_path, files["violating"], files["violating"])
        assert run(files["violating"], "--baseline", twice).exit_code == 2
        once = self.former(tmp_path, files["violating"], files["conforming"])
        done = run(files["violating"], files["violating"], "--baseline", once)
        assert done.exit_code == 2
        assert "WH-1" in done.stderr


class TestBase:
    def test_a_file_need_hold_only_what_differs(self, files, tmp_path):
        (tmp_path / "unit.json").write_text('{"panelboard": {"short_circuit_rating": "1 kA"}}')
        done = run(str(tmp_path / "unit.json"), "--base", files["conforming"], "--format", "json")
        assert done.exit_code == 1
        assert RULE in {f["rule"] for f in json.loads(done.stdout)["findings"] if f["outcome"] == "violation"}

    def test_null_takes_away_what_the_base_has(self, files, tmp_path):
        (tmp_path / "unit.json").write_text('{"panelboard": {"short_circuit_rating": null}}')
        report = json.loads(run(str(tmp_path / "unit.json"), "--base", files["conforming"], "--format", "json").stdout)
        found = next(f for f in report["findings"] if f["rule"] == RULE)
        assert (found["outcome"], found["missing"]) == ("undetermined", ["/panelboard/short_circuit_rating"])

    def test_errors_are_told_by_their_pointer(self, files, tmp_path):
        (tmp_path / "unit.json").write_text('{"panelboard": {"busbar_rating": 200}}')
        done = run(str(tmp_path / "unit.json"), "--base", files["conforming"])
        assert done.exit_code == 2
        assert "unit.json:1:34: bare-number: " in done.stderr
        assert "[/panelboard/busbar_rating]" in done.stderr

    def test_an_error_of_the_base_has_no_place_in_the_file(self, tmp_path, document):
        document["location"]["room"] = "attic"
        (tmp_path / "base.json").write_text(json.dumps(document))
        (tmp_path / "unit.json").write_text("{}")
        done = run(str(tmp_path / "unit.json"), "--base", str(tmp_path / "base.json"))
        assert done.exit_code == 2
        assert "unit.json: not-in-list: " in done.stderr
        assert "[/location/room]" in done.stderr

    @pytest.mark.parametrize("text", ["[]", "{]"])
    def test_a_base_that_is_no_object_cannot_be_used(self, files, tmp_path, text):
        (tmp_path / "base").write_text(text)
        assert run(files["open"], "--base", str(tmp_path / "base")).exit_code == 2


class TestThirtyUnits:
    """A building with thirty units: a document that all share, and a file for what differs in each."""

    @pytest.fixture
    def building(self, tmp_path):
        folder = tmp_path / "units" / "east"
        folder.mkdir(parents=True)
        for number in range(30):
            unit = {"project": {"reference": f"unit {number}"}, "location": {"highest_handle": f"{60 + number % 9} in"}}
            if number % 3 == 0:
                unit["supply"] = {"source": {"impedance_percent": None}}
            if number == 7:
                unit["panelboard"] = {"short_circuit_rating": "1 kA"}
            (folder / f"unit-{number:02}.json").write_text(json.dumps(unit))
        (tmp_path / "building.json").write_bytes(SERVICE.example("dwelling-service"))
        return tmp_path

    def judged(self, building, *arguments):
        return run(str(building / "units"), "--base", str(building / "building.json"), *arguments)

    def test_the_text_adds_up_what_is_asked_and_says_the_cautions_once(self, building):
        done = self.judged(building)
        assert done.exit_code == 1
        text = " ".join(done.stdout.split())
        asked = re.search(r"impedance_percent]: settles (\d+) findings in (\d+) files", text)
        document = json.loads((building / "building.json").read_bytes())
        del document["supply"]["source"]["impedance_percent"]
        report = SERVICE.validate(json.dumps(document).encode())
        settled = sum(q.settles for q in report.questions if q.pointer == "/supply/source/impedance_percent")
        assert [int(number) for number in asked.groups()] == [10 * settled, 10]
        for sentence in (*report.cautions, report.defers_to):
            assert text.count(sentence) == 1
        assert text.index("What is asked in all files") < text.index("Cautions") < text.index(report.defers_to)

    def test_only_what_is_new_fails(self, building):
        former = building / "former.ndjson"
        first = self.judged(building, "--format", "json", "--fail-on", "never")
        assert first.exit_code == 0
        former.write_text(first.stdout)
        against = ("--baseline", str(former), "--fail-on", "undetermined", "--format", "json")
        assert self.judged(building, *against).exit_code == 0
        changed = building / "units" / "east" / "unit-11.json"
        changed.write_text(
            json.dumps(json.loads(changed.read_text()) | {"panelboard": {"short_circuit_rating": "2 kA"}})
        )
        done = self.judged(building, *against)
        assert done.exit_code == 1
        new = [line for line in done.stderr.splitlines() if ": new: " in line]
        assert new
        assert all("unit-11.json: new: violation: " in line for line in new)

    def test_junit_counts_undetermined_as_skipped(self, building):
        done = self.judged(building, "--format", "junit")
        root = ET.fromstring(done.stdout.encode())
        suites = list(root.iter("testsuite"))
        assert len(suites) == 30
        skipped = [int(suite.get("skipped")) for suite in suites]
        assert [number for number, count in enumerate(skipped) if count] == list(range(0, 30, 3))
        assert root.get("skipped") == str(sum(skipped))
        assert root.get("failures") == suites[7].get("failures") != "0"
        assert {one.get("type") for one in root.iter("skipped")} == {"undetermined"}


class TestWatching:
    def test_rounds_tell_what_is_new_or_changed(self, tmp_path):
        first, second = tmp_path / "a.json", tmp_path / "b.json"
        first.write_text("1")
        steps = iter(
            [
                lambda: None,
                lambda: second.write_text("2"),
                lambda: first.write_text("longer"),
                second.unlink,
            ]
        )

        def pause(_seconds):
            next(steps)()

        told = rounds([str(tmp_path)], pause)
        both, a, b = [str(first), str(second)], str(first), str(second)
        assert next(told) == ([a], [a])
        assert next(told) == (both, [b])
        assert next(told) == (both, [a])
        assert next(told) == ([a], [])

    def test_it_judges_again_and_ends_with_the_last_status(self, files, tmp_path):
        out, err = tmp_path / "out", tmp_path / "err"
        # A shell starts what runs in its background with the interrupt ignored, and children inherit that.
        heeding = ("env", "--default-signal=INT")
        with out.open("wb") as stdout, err.open("wb") as stderr:
            process = subprocess.Popen(
                [*heeding, sys.executable, "-m", "changeout", "check", files["conforming"], "--watch"],
                stdout=stdout,
                stderr=stderr,
            )
        try:
            self._until(err, 1)
            (tmp_path / "conforming.json").write_text((tmp_path / "violating.json").read_text())
            self._until(err, 2)
            process.send_signal(signal.SIGINT)
            assert process.wait(timeout=20) == 1
        finally:
            process.kill()
            process.wait()
        text = out.read_text()
        assert text.index("CONFORMS") < text.index("VIOLATIONS")
        assert "Traceback" not in err.read_text()

    def _until(self, err, number):
        limit = time.monotonic() + 60
        while err.read_text().count("Watching") < number:
            assert time.monotonic() < limit, err.read_text()
            time.sleep(0.05)

    def test_standard_input_cannot_be_watched(self):
        assert run("-", "--watch").exit_code == 2


class TestVariables:
    @pytest.mark.parametrize(
        "variables, status",
        [
            ({}, 0),
            ({"CHANGEOUT_CHECK_FAIL_ON": "undetermined"}, 1),
            ({"CHANGEOUT_CHECK_FORMAT": "html"}, 0),
            ({"CHANGEOUT_CHECK_FORMAT": "tea"}, 2),
            ({"CHANGEOUT_CHECK_EDITION": "1999"}, 2),
        ],
    )
    def test_each_option_has_one(self, files, variables, status):
        assert run(files["open"], env=variables).exit_code == status

    def test_an_option_wins_over_its_variable(self, files):
        done = run(files["open"], "--fail-on", "never", env={"CHANGEOUT_CHECK_FAIL_ON": "undetermined"})
        assert done.exit_code == 0

    def test_the_shell_can_complete_commands(self):
        variables = {
            **os.environ,
            "_CHANGEOUT_COMPLETE": "bash_complete",
            "COMP_WORDS": "changeout che",
            "COMP_CWORD": "1",
        }
        script = "import sys; sys.argv = ['changeout']; from changeout.cli import main; main(prog_name='changeout')"
        done = subprocess.run(
            [sys.executable, "-c", script], env=variables, capture_output=True, text=True, check=False, timeout=30
        )
        assert "check" in done.stdout
