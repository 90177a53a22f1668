"""``changeout compare``, ``diff``, ``what-if``, ``document`` and ``new``."""

import copy
import json

import pytest
from click.testing import CliRunner

from changeout.application.compare import compare
from changeout.application.documents import DOCUMENTS
from changeout.application.service import Service
from changeout.cli import main

SERVICE = Service.load()
RULE = "short-circuit-rating-at-least-fault-current"
RATING = "/panelboard/short_circuit_rating"


@pytest.fixture
def document():
    return json.loads(SERVICE.example("dwelling-service"))


@pytest.fixture
def proposal(tmp_path, document):
    path = tmp_path / "proposal.json"
    path.write_text(json.dumps(document, indent=1))
    return str(path)


@pytest.fixture
def weak(tmp_path, document):
    document = copy.deepcopy(document)
    document["panelboard"]["short_circuit_rating"] = "1 kA"
    path = tmp_path / "weak.json"
    path.write_text(json.dumps(document, indent=1))
    return str(path)


@pytest.fixture
def without_edition(tmp_path, document):
    document = copy.deepcopy(document)
    del document["project"]["edition"]
    path = tmp_path / "without.json"
    path.write_text(json.dumps(document, indent=1))
    return str(path)


def run(*arguments, **options):
    return CliRunner().invoke(main, list(arguments), catch_exceptions=False, **options)


def is_narrow(text):
    return all(len(line) <= 100 for line in text.splitlines())


class TestCompare:
    @pytest.mark.parametrize("options", [(), ("--editions", "2017,2020,2023,2026"), ("--editions", "2023, 2020")])
    @pytest.mark.parametrize("name", ["dwelling-service", "house-with-pv", "plant-service-480y"])
    def test_the_table_has_each_rule_that_differs_with_its_outcomes(self, tmp_path, options, name):
        path = tmp_path / "proposal.json"
        path.write_bytes(SERVICE.example(name))
        done = run("compare", str(path), *options)
        page = json.loads(run("compare", str(path), *options, "--format", "json").stdout)
        assert done.exit_code == 0
        assert is_narrow(done.stdout)
        labels = [side["label"] for side in page["sides"]]
        lines = done.stdout.splitlines()
        header = next(n for n, line in enumerate(lines) if line.split() == labels)
        assert any(line.startswith("Applied on: ") for line in lines[:header])
        words = " ".join(done.stdout.split())
        for difference in page["differences"]:
            assert difference["rule"] in lines or any(line.startswith(difference["rule"] + " ") for line in lines)
            for change in difference["changes"]:
                assert " ".join(change["source"].split()) in words

    def test_outcomes_stand_under_their_edition(self, weak):
        text = run("compare", weak, "--editions", "2017,2023").stdout
        row = next(line for line in text.splitlines() if line.startswith(RULE + " "))
        assert row.split()[1:] == ["VIOLATION", "VIOLATION"]

    def test_json_is_the_comparison(self, proposal, document):
        got = json.loads(run("compare", proposal, "--editions", "2020,2023", "--format", "json").stdout)
        asked = json.dumps({"proposal": document, "editions": ["2020", "2023"]}).encode()
        assert got == json.loads(json.dumps(compare(SERVICE, asked)))

    def test_long_labels_become_letters(self, proposal):
        done = run("compare", proposal, "--editions", "2023", "--jurisdictions-named", "demo-harbor-county")
        assert done.exit_code == 0
        assert is_narrow(done.stdout)
        assert "B  demo-harbor-county 2023  " in done.stdout

    def test_a_proposal_without_an_edition_can_be_compared(self, without_edition):
        assert run("compare", without_edition).exit_code == 0

    @pytest.mark.parametrize(
        "options",
        [("--editions", "1999"), ("--jurisdictions-named", "nowhere"), ("--editions", ",".join(["2023"] * 9))],
    )
    def test_unknown_names_are_refused(self, proposal, options):
        done = run("compare", proposal, *options)
        assert (done.exit_code, done.stdout) == (2, "")

    def test_what_cannot_be_read_is_located_in_the_file(self, tmp_path, document):
        document["panelboard"]["busbar_rating"] = 200
        path = tmp_path / "wrong.json"
        path.write_text(json.dumps(document, indent=1))
        line = next(n for n, t in enumerate(path.read_text().splitlines(), 1) if '"busbar_rating"' in t)
        for arguments in (("compare",), ("diff", str(path)), ("what-if", "--set", "/a=1"), ("document", DOCUMENTS[0])):
            done = run(*arguments, str(path))
            assert done.exit_code == 2
            assert f"wrong.json:{line}:" in done.stderr


class TestDiff:
    def test_what_was_fixed_and_what_changed_is_told(self, weak, proposal):
        done = run("diff", weak, proposal)
        assert done.exit_code == 0
        assert is_narrow(done.stdout)
        fixed = done.stdout[done.stdout.index("Fixed") : done.stdout.index("Members that changed")]
        assert f"{RULE} [/panelboard]: violation before, satisfied now" in " ".join(fixed.split())
        assert RATING in done.stdout[done.stdout.index("Members that changed") :]

    def test_a_change_that_nobody_asked_for_is_marked(self, proposal, document, tmp_path):
        document["panelboard"]["circuits"][0]["serves"] = "something else"
        (tmp_path / "other.json").write_text(json.dumps(document))
        done = run("diff", proposal, str(tmp_path / "other.json"), "--format", "json")
        (changed,) = json.loads(done.stdout)["changed_members"]
        assert changed["silent"] is True
        text = run("diff", proposal, str(tmp_path / "other.json")).stdout
        assert "(nobody asked for it)" in " ".join(text.split())

    def test_an_edition_rescues_proposals_without_one(self, without_edition):
        assert run("diff", without_edition, without_edition).exit_code == 2
        assert run("diff", without_edition, without_edition, "--edition", "2020").exit_code == 0


class TestWhatIf:
    def test_a_set_says_what_moved(self, proposal):
        done = run("what-if", proposal, "--set", f"{RATING}=1 kA")
        assert done.exit_code == 0
        assert "With the change: VIOLATIONS" in done.stdout
        assert f"{RULE} [/panelboard]: satisfied before, violation now" in " ".join(done.stdout.split())
        assert is_narrow(done.stdout)

    def test_values_are_json_where_they_are_json(self, proposal):
        options = ("--set", "/enclosure/listed_for_panelboard=null", "--set", "/location/readily_accessible=false")
        page = json.loads(run("what-if", proposal, *options, "--format", "json").stdout)
        (variant,) = page["variants"]
        assert [operation["value"] for operation in variant["patch"]] == [None, False]
        assert "verdict" in variant

    def test_objects_that_are_not_there_are_made(self, tmp_path):
        path = tmp_path / "p.json"
        path.write_text(
            '{"changeout": 1, "project": {"edition": "2023", "occupancy": "commercial"},'
            ' "work": {"scope": "enclosed-panelboard"}}'
        )
        page = json.loads(run("what-if", str(path), "--set", "/panelboard/main/kind=lugs", "--format", "json").stdout)
        assert "unreadable" not in page["variants"][0]

    def test_an_element_of_an_array_is_replaced_not_inserted(self, proposal):
        page = json.loads(
            run("what-if", proposal, "--sweep", "/location/conditions/0=wet,damp", "--format", "json").stdout
        )
        assert all("unreadable" not in variant for variant in page["variants"])
        done = run("what-if", proposal, "--set", "/supply/runs/0/length=10 ft", "--format", "json")
        assert json.loads(done.stdout)["variants"][0]["patch"][0]["op"] == "replace"

    def test_a_sweep_tells_each_value(self, proposal):
        text = run("what-if", proposal, "--sweep", f"{RATING}=1 kA, 22 kA,5").stdout
        assert "With '1 kA': VIOLATIONS" in text
        assert "With '22 kA': " in text
        assert "With 5: no proposal any more" in text

    @pytest.mark.parametrize(
        "options",
        [
            (),
            ("--set", "nothing"),
            ("--set", "a=b"),
            ("--sweep", "/a=1", "--set", "/a=1"),
            ("--remove", "/nothing/here"),
            ("--set", "/changeout/deeper=1"),
            ("--edition", "1999", "--set", "/a=1"),
        ],
    )
    def test_what_cannot_be_tried(self, proposal, options):
        done = run("what-if", proposal, *options)
        assert (done.exit_code, done.stdout) == (2, "")


class TestDocument:
    @pytest.mark.parametrize("kind", DOCUMENTS)
    def test_each_kind_in_each_form(self, proposal, kind):
        assert run("document", kind, proposal).stdout.startswith("<!DOCTYPE html>")
        assert run("document", kind, proposal, "--format", "markdown").stdout.startswith("#")

    def test_decisions_shape_the_letter(self, weak, tmp_path):
        path = tmp_path / "decisions.json"
        path.write_text(json.dumps([{"rule": RULE, "action": "drop", "text": "Another panelboard is there."}]))
        kept = run("document", "correction-letter", weak, "--format", "markdown").stdout
        done = run("document", "correction-letter", weak, "--format", "markdown", "--decisions", str(path))
        assert done.exit_code == 0
        assert done.stdout != kept

    @pytest.mark.parametrize("text", ["{]", '[{"rule": "nothing", "action": "keep"}]', "{}"])
    def test_decisions_that_cannot_be_taken(self, weak, tmp_path, text):
        path = tmp_path / "decisions.json"
        path.write_text(text)
        done = run("document", "correction-letter", weak, "--decisions", str(path))
        assert (done.exit_code, done.stdout) == (2, "")

    def test_what_is_wrong_with_a_decision_is_placed_in_its_file(self, weak, tmp_path):
        path = tmp_path / "decisions.json"
        path.write_text(f'[\n  {{"rule": "{RULE}", "action": "drop"}},\n  {{"rule": "nothing", "action": "keep"}}\n]')
        told = run("document", "correction-letter", weak, "--decisions", str(path)).stderr
        assert f"{path}:2:3: missing-member: drop needs a text that says why. [/0/text]" in told
        assert f"{path}:3:12: no-such-finding: " in told

    def test_an_edition_rescues_a_proposal_without_one(self, without_edition):
        assert run("document", "inspection-checklist", without_edition).exit_code == 2
        assert run("document", "inspection-checklist", without_edition, "--edition", "2023").exit_code == 0


class TestNew:
    FACTS = ("--edition", "2023", "--occupancy", "commercial", "--scope", "enclosed-panelboard")

    def test_options_alone_are_enough(self):
        done = run("new", *self.FACTS)
        assert done.exit_code == 0
        assert SERVICE.validate(done.stdout.encode()).ruleset.edition == "2023"
        assert "Next: " in done.stderr

    @pytest.mark.parametrize("answers", ["3\none\n1\n", "2023\nx\n1\ninterior\ninterior-o\n"])
    def test_a_number_or_a_beginning_answers_and_what_is_neither_is_asked_again(self, answers):
        done = run("new", input=answers)
        assert done.exit_code == 0
        document = json.loads(done.stdout)
        assert document["project"] == {"edition": "2023", "occupancy": "one-family-dwelling"}
        assert document["work"]["scope"] == "interior-only"
        assert "  1  one-family-dwelling\n" in done.stderr

    def test_what_is_not_given_is_asked_and_only_that(self):
        done = run("new", "--edition", "2020", input="one-family-dwelling\ninterior-only\n")
        assert done.exit_code == 0
        document = json.loads(done.stdout)
        assert document["project"] == {"edition": "2020", "occupancy": "one-family-dwelling"}
        assert document["work"]["scope"] == "interior-only"
        assert "Edition" not in done.stderr

    def test_a_wrong_answer_is_asked_again(self):
        done = run("new", "--edition", "2020", "--scope", "interior-only", input="castle\ncommercial\n")
        assert json.loads(done.stdout)["project"]["occupancy"] == "commercial"

    def test_a_jurisdiction_needs_the_date(self):
        options = ("--jurisdiction", "demo-harbor-county", "--occupancy", "commercial", "--scope", "interior-only")
        done = run("new", *options, input="2026-03-02\n")
        assert json.loads(done.stdout)["project"]["applied_on"] == "2026-03-02"
        assert run("new", *options, input="").exit_code == 2
        assert run("new", *options, "--applied-on", "soon").exit_code == 2
        assert run("new", *options, "--applied-on", "1990-01-01").exit_code == 2

    def test_nobody_to_answer_names_the_option(self):
        done = run("new", "--edition", "2023", input="")
        assert done.exit_code == 2
        assert "--occupancy" in done.stderr

    def test_facts_can_be_set(self):
        done = run(
            "new",
            *self.FACTS,
            "--set",
            "/supply/source/kind=transformer",
            "--set",
            "/supply/source/impedance_percent=2.5",
        )
        assert json.loads(done.stdout)["supply"] == {"source": {"kind": "transformer", "impedance_percent": 2.5}}

    def test_what_would_be_no_proposal_is_not_written(self, tmp_path):
        path = tmp_path / "p.json"
        done = run("new", *self.FACTS, "--set", "/panelboard/busbar_rating=200", "--output", str(path))
        assert done.exit_code == 2
        assert "bare-number" in done.stderr
        assert not path.exists()

    def test_a_file_that_is_there_is_not_written_over(self, tmp_path):
        path = tmp_path / "p.json"
        assert run("new", *self.FACTS, "--output", str(path)).exit_code == 0
        before = path.read_bytes()
        assert SERVICE.validate(before)
        assert run("new", *self.FACTS, "--output", str(path)).exit_code == 2
        assert path.read_bytes() == before


def test_an_edition_rescues_a_proposal_without_one(without_edition):
    for command in (("check",), ("calculate", "fault-current")):
        assert run(*command, without_edition).exit_code == 2
        assert run(*command, without_edition, "--edition", "2020").exit_code in (0, 1)


def test_a_jurisdiction_that_is_not_known_is_located(tmp_path, document):
    del document["project"]["edition"]
    document["project"].update(jurisdiction="nowhere", applied_on="2026-01-01")
    path = tmp_path / "p.json"
    path.write_text(json.dumps(document, indent=1))
    line = next(n for n, t in enumerate(path.read_text().splitlines(), 1) if '"jurisdiction"' in t)
    assert f"p.json:{line}:" in run("check", str(path)).stderr
