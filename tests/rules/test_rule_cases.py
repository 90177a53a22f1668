"""Every case of every rule, in every edition that it names. Each case's source stands beside it in its file."""

import json

import pytest

from changeout.application.service import Service
from changeout.domain.vocabulary import EDITIONS
from changeout.render.report_json import report_object
from changeout.rules import load_rules
from expectations import compare
from rules.table import KINDS, NEEDED, cases, files, proposal_of

CASES = list(cases())


@pytest.fixture(scope="module")
def service():
    return Service.load()


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_rule_answers_as_its_case_says(service, case):
    document = proposal_of(case, service.example(case.start))
    report = report_object(service.validate(json.dumps(document).encode(), detail="findings"))
    assert compare(report, case.expect) == [], case.source


@pytest.mark.parametrize("rule", sorted(load_rules()))
def test_the_rule_has_a_case_of_every_kind_in_every_edition_or_a_reason(rule):
    table = files()[rule]
    gaps = table.get("gaps", {})
    assert table["rule"] == rule
    have = {(edition, case["kind"]) for case in table["case"] for edition in case["editions"]}
    lacking = [
        f"{edition} {kind}"
        for edition in EDITIONS
        for kind in NEEDED
        if (edition, kind) not in have and f"{edition} {kind}" not in gaps and f"* {kind}" not in gaps
    ]
    assert lacking == []


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
            "section", "source",
        }, case["name"]  # fmt: skip
    assert all(reason.strip() for reason in table.get("gaps", {}).values())
    assert all(
        gap.split(" ", 1)[0] in {*EDITIONS, "*"} and gap.split(" ", 1)[1] in NEEDED for gap in table.get("gaps", {})
    )
