"""Whole proposals with the findings that an expert expects of them; each names its origin in ``core.json`` or ``wide.json``.

``DISAGREEMENTS`` names every expectation that we hold to be wrong, with the reason; none is worked around in the code.
"""

import json
from pathlib import Path

import pytest

from changeout.application.service import Service
from changeout.render.report_json import report_object
from expectations import compare

HERE = Path(__file__).parent
CASES = [case for name in ("core", "wide") for case in json.loads((HERE / f"{name}.json").read_text("utf-8"))]
DISAGREEMENTS: dict[str, str] = {}


@pytest.fixture(scope="module")
def service():
    return Service.load()


@pytest.mark.parametrize("case", [c for c in CASES if c["id"] not in DISAGREEMENTS], ids=lambda c: c["id"])
def test_the_findings_are_those_expected(service, case):
    report = report_object(service.validate(json.dumps(case["proposal"]).encode()))
    assert compare(report, case["expect"]) == [], case["origin"]


def test_every_named_disagreement_is_of_a_case_and_still_one(service):
    by_id = {case["id"]: case for case in CASES}
    for name, reason in DISAGREEMENTS.items():
        report = report_object(service.validate(json.dumps(by_id[name]["proposal"]).encode()))
        assert compare(report, by_id[name]["expect"]) != [], reason


def test_every_case_says_where_its_expectation_comes_from():
    assert all(case["origin"].strip() for case in CASES)
    assert len({case["id"] for case in CASES}) == len(CASES)
