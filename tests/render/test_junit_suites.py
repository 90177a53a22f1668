"""JUnit XML, read by a reader of another project and by a hardened XML parser."""

import pytest
from defusedxml import ElementTree
from junit2htmlreport.parser import Junit

from changeout.application.judgement import judge
from changeout.application.service import Service
from changeout.domain.findings import Outcome
from changeout.domain.problems import Refusal
from changeout.intake.read import read_proposal
from changeout.render.junit import junit_bytes
from changeout.render.located import LocatedRefusal, LocatedReport
from render.sample_report import every_finding, finding, report_of, whole_report

SERVICE = Service.load()


def read_by_other(content):
    reader = Junit(xmlstring=content.decode())
    return reader.suites


def cases(suite):
    return [case for group in suite.classes.values() for case in group.cases]


def sample():
    return junit_bytes([LocatedReport(report=whole_report(), file="house.json")])


def test_a_suite_has_its_properties():
    (suite,) = read_by_other(sample())
    told = {p.name: p.value for p in suite.properties}
    assert suite.name == "house.json"
    assert told["edition"] == "2023"
    assert told["decision.id"] == f"sha256:{'1' * 64}"
    assert told["ruleset.digest"] == f"sha256:{'3' * 64}"
    assert told["verdict"] == "violations"
    assert told["not.applicable"] == "3"


def test_violations_fail_and_what_is_open_or_waived_is_skipped():
    (suite,) = read_by_other(sample())
    failed = [c.name for c in cases(suite) if c.failed()]
    skipped = [c.name for c in cases(suite) if c.skipped]
    assert failed == ["The title of short-circuit-rating [/panelboard/short_circuit_rating]"]
    assert sorted(skipped) == [
        "The title of branch-breakers [/panelboard/circuits/0]",
        "The title of branch-breakers [/panelboard/circuits/1]",
        "The title of waived-rule [/location]",
    ]
    idle = [one for one in every_finding() if one.outcome is Outcome.NOT_APPLICABLE]
    assert len(cases(suite)) == len(every_finding()) - len(idle)


def test_a_failure_says_section_numbers_and_remedy():
    root = ElementTree.fromstring(sample())
    failure = root.find(".//failure")
    assert failure.get("message").startswith("The rating of the panelboard (10,000 A)")
    for words in ("2023, 408.6, also 110.10", "at least 14,210 A", "Remedy: Use a panelboard of 22 kA."):
        assert words in failure.text


def test_the_sums_are_right():
    root = ElementTree.fromstring(sample())
    for element in (root, *root.findall("testsuite")):
        assert int(element.get("tests")) == len(element.findall(".//testcase"))
        assert int(element.get("failures")) == len(element.findall(".//failure"))
        assert int(element.get("skipped")) == len(element.findall(".//skipped"))
        assert int(element.get("errors")) == len(element.findall(".//error"))


def test_cases_of_a_suite_have_names_of_their_own():
    same = [finding("one", Outcome.SATISFIED, "a"), finding("one", Outcome.ADVISORY, "b")]
    (suite,) = read_by_other(junit_bytes([LocatedReport(report=report_of(same), file="x.json")]))
    names = [(c.testclass.name, c.name) for c in cases(suite)]
    assert len(set(names)) == len(names) == 2


def test_several_files_are_several_suites_and_a_broken_one_is_an_error():
    with pytest.raises(Refusal) as caught:
        read_proposal(b"{")
    content = junit_bytes(
        [LocatedReport(report=whole_report(), file="a.json"), LocatedReport(report=whole_report(), file="b.json")],
        [LocatedRefusal(refusal=caught.value, file="c.json")],
    )
    root = ElementTree.fromstring(content)
    assert [s.get("name") for s in root] == ["a.json", "b.json", "c.json"]
    assert root[2].find(".//error").get("type") == "malformed-json"


def test_a_whole_report_can_be_read():
    one = judge(SERVICE, SERVICE.example("half-known-dwelling"))
    (suite,) = read_by_other(junit_bytes([one.located("x.json")]))
    counts = one.report.counts
    assert len(cases(suite)) == sum(counts[o.value] for o in Outcome) - counts["not-applicable"]
    assert sum(1 for c in cases(suite) if c.skipped) == counts["undetermined"]
