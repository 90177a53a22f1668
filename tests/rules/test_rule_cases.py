"""Every case of every rule, in every edition that it names. Each case's source stands beside it in its file."""

import json

import pytest

from changeout.application.service import Service
from changeout.domain.vocabulary import EDITIONS
from changeout.editions.load import load_editions
from changeout.render.report_json import report_object
from changeout.review.coverage import ANY_EDITION, COLUMNS, coverage, empty_cells
from changeout.rules import load_rules
from expectations import answering, compare
from rules.table import KINDS, cases, files, proposal_of, words_of

CASES = list(cases())


@pytest.fixture(scope="module")
def service():
    return Service.load()


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_rule_answers_as_its_case_says(service, case):
    document = proposal_of(case, service.example(case.start))
    report = service.validate(json.dumps(document).encode(), detail="findings")
    shown = report_object(report)
    assert compare(shown, case.expect) == [], case.source
    if case.says:
        place = shown["findings"].index(answering(shown, case.expect["findings"][0]))
        assert case.says in words_of(report.findings[place]), case.source


COVERAGE = {one.rule.id: one for one in coverage(load_rules(), load_editions(), files())}


@pytest.mark.parametrize("rule", sorted(load_rules()))
def test_the_rule_has_a_case_of_every_kind_in_every_edition_or_a_reason(rule):
    assert files()[rule]["rule"] == rule
    assert empty_cells([COVERAGE[rule]]) == []


@pytest.mark.parametrize("rule", sorted(files()))
def test_a_reason_is_given_only_where_there_is_no_case(rule):
    for gap in files()[rule].get("gaps", {}):
        edition, column = gap.split(" ", 1)
        lines = [line for line in COVERAGE[rule].lines if edition in {ANY_EDITION, line.edition}]
        assert any(line.cells[column].needed and not line.cells[column].cases for line in lines), gap


@pytest.mark.parametrize("rule", sorted(files()))
def test_the_file_of_cases_is_well_formed(rule):
    table = files()[rule]
    assert rule in load_rules()
    assert set(table) <= {"rule", "start", "case", "gaps"}
    for case in table["case"]:
        assert case["kind"] in KINDS, case["name"]
        assert case["source"].strip(), case["name"]
        assert set(case["editions"]) <= set(EDITIONS), case["name"]
        assert set(case) <= {
            "name", "kind", "editions", "set", "remove", "start", "outcome", "subject", "found", "required", "missing",
            "section", "says", "source",
        }, case["name"]  # fmt: skip
    assert all(reason.strip() for reason in table.get("gaps", {}).values())
    assert all(
        gap.split(" ", 1)[0] in {*EDITIONS, ANY_EDITION} and gap.split(" ", 1)[1] in COLUMNS
        for gap in table.get("gaps", {})
    )
