"""The comparing of reports with expectations can fail, in each of its ways."""

import copy

import pytest

from expectations import compare

REPORT = {
    "verdict": "violations",
    "findings": [
        {
            "rule": "rating",
            "outcome": "satisfied",
            "subject": "/panelboard/circuits",
            "subjects": ["/panelboard/circuits/0", "/panelboard/circuits/1"],
            "reference": {"section": "110.9", "also": ["110.10"]},
            "message": "…",
            "found": None,
            "required": None,
            "missing": [],
        },
        {
            "rule": "rating",
            "outcome": "violation",
            "subject": "/panelboard/circuits/2",
            "subjects": [],
            "reference": {"section": "110.9", "also": []},
            "message": "…",
            "found": {"value": 10000, "low": 10000, "high": 10000},
            "required": {"value": None, "low": 12000, "high": 14000},
            "missing": ["/supply/runs/0/length"],
        },
    ],
    "calculations": [{"id": "load", "result": {"value": 24000, "low": 24000, "high": 24000}}],
    "questions": [{"pointer": "/supply/runs/0/length"}, {"pointer": "/load/method"}],
}

AGREES = [
    {},
    {"verdict": "violations"},
    {"findings": [{"rule": "rating", "outcome": "violation"}]},
    {"findings": [{"rule": "rating", "outcome": "violation", "subject": "/panelboard/circuits/2"}]},
    {
        "findings": [
            {"rule": "rating", "outcome": "satisfied", "subject": "/panelboard/circuits/1", "section": "110.10"}
        ]
    },
    {"findings": [{"rule": "rating", "found": {"value": 10049}, "required": {"low": 12000, "high": 14000}}]},
    {"findings": [{"rule": "rating", "found": {"value": 11000, "rel": 0.1}}]},
    {"findings": [{"rule": "rating", "missing": ["/supply/runs/0/length"]}]},
    {"calculations": [{"id": "load", "value": 24200}]},
    {"questions": ["/load/method"], "first_question": ["/supply/runs/0/length", "/load/method"]},
]

DIFFERS = [
    {"verdict": "conforms"},
    {"findings": [{"rule": "another"}]},
    {"findings": [{"rule": "rating", "outcome": "satisfied"}]},
    {"findings": [{"rule": "rating", "outcome": "violation", "subject": "/panelboard/circuits/1"}]},
    {"findings": [{"rule": "rating", "outcome": "satisfied", "subject": "/panelboard/circuits/2"}]},
    {"findings": [{"rule": "rating", "outcome": "satisfied", "subject": "/panelboard/circuits/3"}]},
    {"findings": [{"rule": "rating", "section": "110.10"}]},
    {"findings": [{"rule": "rating", "found": {"value": 10060}}]},
    {"findings": [{"rule": "rating", "required": {"value": 13000}}]},
    {
        "findings": [
            {"rule": "rating", "subject": "/panelboard/circuits", "outcome": "satisfied", "found": {"value": 1}}
        ]
    },
    {"findings": [{"rule": "rating", "missing": ["/supply/runs/0/size"]}]},
    {"calculations": [{"id": "fault-current", "value": 1}]},
    {"calculations": [{"id": "load", "value": 24300}]},
    {"questions": ["/load/appliances"]},
    {"first_question": ["/load/method"]},
]


@pytest.mark.parametrize("expect", AGREES)
def test_a_report_that_agrees_has_no_differences(expect):
    assert compare(copy.deepcopy(REPORT), expect) == []


@pytest.mark.parametrize("expect", DIFFERS)
def test_a_report_that_differs_says_where(expect):
    assert len(compare(copy.deepcopy(REPORT), expect)) == 1


@pytest.mark.parametrize(
    "expect", [{"verdicts": "conforms"}, {"findings": [{"rule": "rating", "result": "satisfied"}]}]
)
def test_an_expectation_that_nothing_would_compare_is_refused(expect):
    with pytest.raises(ValueError, match="nothing compares"):
        compare(copy.deepcopy(REPORT), expect)
