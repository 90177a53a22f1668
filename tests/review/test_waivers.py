"""Waivers are applied in sight of everybody: an expired one restores the violation, one that matches nothing is said.

The expectations are the interface's own words on waivers; no outside source.
"""

import json

import pytest

from changeout.application.service import Service
from changeout.render.report_json import report_object

RULE = "working-space-depth"


@pytest.fixture(scope="module")
def service():
    return Service.load()


def report(service, waivers, *, applied_on="2026-03-02", depth="30 in"):
    document = json.loads(service.example("dwelling-service"))
    document["location"]["working_space"]["depth"] = depth
    document["project"].pop("applied_on")
    if applied_on:
        document["project"]["applied_on"] = applied_on
    document["waivers"] = waivers
    return report_object(service.validate(json.dumps(document).encode()))


def waiver(rule=RULE, **more):
    return {"rule": rule, "reason": "the wall cannot move", "granted_by": "authority having jurisdiction", **more}


def found(shown, rule=RULE):
    return next(f for f in shown["findings"] if f["rule"] == rule)


def test_a_waiver_is_echoed_and_the_violation_stays_in_sight(service):
    shown = report(service, [waiver(expires_on="2026-12-31")])
    assert found(shown)["outcome"] == "violation"
    assert found(shown)["waived"]["reason"] == "the wall cannot move"
    assert (shown["verdict"], shown["verdict_before_waivers"]) == ("conforms", "violations")
    assert (shown["counts"]["violation"], shown["counts"]["waived"]) == (1, 1)
    assert "1 violation waived" in shown["headline"]


@pytest.mark.parametrize(
    "expires_on,holds",
    [("2026-03-01", False), ("2026-03-02", True), ("2026-03-03", True)],
    ids=["over", "last-day", "before"],
)
def test_it_holds_up_to_and_with_the_day_it_expires(service, expires_on, holds):
    shown = report(service, [waiver(expires_on=expires_on)])
    assert (found(shown)["waived"] is not None) is holds
    assert shown["verdict"] == ("conforms" if holds else "violations")
    assert any("expired on" in c for c in found(shown)["cautions"]) is not holds


def test_without_the_date_applied_on_an_expiry_cannot_be_told_and_nothing_is_waived(service):
    shown = report(service, [waiver(expires_on="2026-12-31")], applied_on=None)
    assert found(shown)["waived"] is None
    assert shown["verdict"] == "violations"
    assert any("date applied on is not stated" in c for c in shown["cautions"])


def test_a_waiver_without_an_expiry_holds(service):
    assert report(service, [waiver()])["verdict"] == "conforms"


@pytest.mark.parametrize("rule", [RULE, "no-such-rule"])
def test_one_that_matches_no_violation_is_reported(service, rule):
    shown = report(service, [waiver(rule)], depth="36 in")
    assert shown["counts"]["waived"] == 0
    assert any(f"The waiver of {rule} (/waivers/0) matches no violation." == c for c in shown["cautions"])
