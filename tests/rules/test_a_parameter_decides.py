"""One value changed in the text of an edition changes its digest and the answer, and nothing else is touched."""

import json
from dataclasses import replace
from importlib import resources

import pytest

from changeout.application.service import Service
from changeout.editions.load import load_editions, read_edition
from changeout.review.ruleset import first_asked, join
from changeout.rules import load_rules
from expectations import SERIOUSNESS
from rules.table import put

EDITION = "2023"
TEXT = resources.files("changeout.editions").joinpath(f"{EDITION}.toml").read_text("utf-8")
TWO_MAINS = {"/panelboard/main/rating": "100 A", "/panelboard/second_main": {"kind": "breaker", "rating": "100 A"}}

MOVES = [
    ("working-space-width", "min_in = { value = 30,", "37", "dwelling-service", {}, "violation"),
    ("working-space-height", "min_in = { value = 78,", "110", "plant-service-480y", {}, "violation"),
    ("highest-handle-height", "max_in = { value = 79,", "60", "dwelling-service", {}, "violation"),
    ("two-mains-and-42-devices", "max_devices = { value = 42", "20", "dwelling-service", TWO_MAINS, "violation"),
    (
        "dwelling-service-conductor-83-percent",
        "dwelling_fraction = { value = 0.83",
        "0.95",
        "dwelling-service",
        {},
        "violation",
    ),
    (
        "replacement-interior-field-label-above-10-ka",
        "threshold_a = { value = 10000,",
        "5000",
        "dwelling-service",
        {},
        "violation",
    ),
    ("surge-protection-discharge-rating", "min_a = { value = 10000,", "200000", "dwelling-service", {}, "violation"),
    (
        "interconnected-source-busbar-rule",
        "opposite_end_factor = { value = 1.2",
        "1.1",
        "house-with-pv",
        {},
        "violation",
    ),
    (
        "former-listing-marks-removed",
        "any_fault_current = { value = true",
        "false",
        "dwelling-service",
        {"/enclosure/former_listing_marks": "present"},
        "advisory",
    ),
    ("high-leg-position-and-marking", 'phase = { value = "b"', '"a"', "workshop-high-leg", {}, "violation"),
]


def with_value(rule, old, value):
    """The edition's text with one value of one row changed."""
    start = TEXT.index(f"[rule.{rule}.parameters]\n")
    end = TEXT.find("\n[rule.", start)
    row = TEXT[start:end]
    assert row.count(f"\n{old}") == 1, row
    former = old.rpartition("= ")[2].rstrip(",")
    changed = old.replace(f"= {former}", f"= {value}")
    return TEXT[:start] + row.replace(f"\n{old}", f"\n{changed}") + TEXT[end:]


def ruleset(text):
    return join(read_edition(f"{EDITION}.toml", text), load_rules(), first_asked(load_editions()))


@pytest.fixture(scope="module")
def shipped():
    return Service.load()


def answer(service, rule, start, change):
    document = json.loads(service.example(start))
    document["project"].pop("jurisdiction", None)
    document["project"]["edition"] = EDITION
    for pointer, value in change.items():
        put(document, pointer, value)
    report = service.validate(json.dumps(document).encode(), detail="findings")
    found = [f.outcome.value for f in report.findings if f.rule == rule]
    return min(found, key=SERIOUSNESS.index), report


@pytest.mark.parametrize("move", MOVES, ids=[move[0] for move in MOVES])
def test_one_value_changes_digest_and_answer_and_needs_no_code(shipped, move):
    rule, old, value, start, change, outcome = move
    moved = ruleset(with_value(rule, old, value))
    changed = replace(shipped, rulesets={**shipped.rulesets, EDITION: moved})
    before, report_before = answer(shipped, rule, start, change)
    after, report_after = answer(changed, rule, start, change)
    assert moved.digest != shipped.rulesets[EDITION].digest
    assert (before != outcome, after) == (True, outcome)
    assert report_before.ruleset.digest != report_after.ruleset.digest
    assert report_before.decision_id != report_after.decision_id
    assert report_before.proposal_digest == report_after.proposal_digest


def test_the_same_text_is_the_same_ruleset(shipped):
    assert ruleset(TEXT).digest == shipped.rulesets[EDITION].digest
