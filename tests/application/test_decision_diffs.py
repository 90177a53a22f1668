"""What became of a project between two submissions. The expectations follow from the words of the interface alone."""

import copy
import json

import pytest

from changeout.application.decision_diff import changed_members, decision_diff
from changeout.application.service import Service
from changeout.domain.problems import Refusal

RATING = "short-circuit-rating-at-least-fault-current"


@pytest.fixture(scope="module")
def service():
    return Service.load()


@pytest.fixture
def document(service):
    return json.loads(service.example("dwelling-service"))


def diff(service, old, new, **more):
    return decision_diff(service, json.dumps({"old": old, "new": new, **more}).encode())


def rules(moves):
    return {move["rule"] for move in moves}


def test_what_was_violated_and_is_satisfied_now_is_fixed(service, document):
    old = copy.deepcopy(document)
    old["panelboard"]["short_circuit_rating"] = "5 kA"
    found = diff(service, old, document)
    fixed = next(m for m in found["fixed"] if m["rule"] == RATING)
    assert (fixed["before"], fixed["after"]) == ("violation", "satisfied")
    assert found["new_findings"] == []
    assert RATING not in rules(found["still_open"])
    assert (found["old"]["verdict"], found["new"]["verdict"]) == ("violations", "conforms")
    member = next(m for m in found["changed_members"] if m["pointer"] == "/panelboard/short_circuit_rating")
    assert (member["old"], member["new"], member["silent"]) == (5000, 10000, False)


def test_what_was_satisfied_and_is_violated_now_is_new(service, document):
    new = copy.deepcopy(document)
    new["panelboard"]["short_circuit_rating"] = "5 kA"
    found = diff(service, document, new)
    assert RATING in rules(found["new_findings"])
    assert RATING not in rules(found["still_open"])
    assert found["fixed"] == []


def test_what_is_violated_in_both_is_still_open(service, document):
    document["panelboard"]["short_circuit_rating"] = "4 kA"
    new = copy.deepcopy(document)
    new["panelboard"]["short_circuit_rating"] = "5 kA"
    found = diff(service, document, new)
    assert [f["outcome"] for f in found["still_open"] if f["rule"] == RATING] == ["violation"]
    assert RATING not in rules(found["fixed"]) | rules(found["new_findings"])


def test_a_violation_that_cannot_be_told_any_more_is_no_fix(service, document):
    document["panelboard"]["short_circuit_rating"] = "5 kA"
    new = copy.deepcopy(document)
    del new["panelboard"]["short_circuit_rating"]
    found = diff(service, document, new)
    assert RATING not in rules(found["fixed"])
    assert RATING in rules(found["other_moves"])
    assert [f["outcome"] for f in found["still_open"] if f["rule"] == RATING] == ["undetermined"]


def test_a_change_that_no_open_finding_asks_for_is_silent(service, document):
    document["panelboard"]["short_circuit_rating"] = "5 kA"
    new = copy.deepcopy(document)
    new["panelboard"]["short_circuit_rating"] = "10 kA"
    new["location"]["room"] = "garage"
    new["panelboard"]["circuits"][0]["serves"] = "something else altogether"
    silent = {m["pointer"]: m["silent"] for m in diff(service, document, new)["changed_members"]}
    assert silent == {
        "/panelboard/short_circuit_rating": False,
        "/location/room": True,
        "/panelboard/circuits/0/serves": True,
    }


def test_a_member_that_an_open_finding_rests_on_is_not_silent(service, document):
    document["panelboard"]["short_circuit_rating"] = "5 kA"
    new = copy.deepcopy(document)
    new["supply"]["source"]["impedance_percent"] = 5.0
    changed = diff(service, document, new)["changed_members"]
    assert [(m["pointer"], m["silent"]) for m in changed] == [("/supply/source/impedance_percent", False)]


def test_a_member_that_was_missing_and_asked_for_is_not_silent(service, document):
    new = copy.deepcopy(document)
    del document["panelboard"]["short_circuit_rating"]
    changed = diff(service, document, new)["changed_members"]
    assert [(m["pointer"], m["old"], m["silent"]) for m in changed] == [
        ("/panelboard/short_circuit_rating", None, False)
    ]


def test_the_same_proposal_twice_has_no_difference(service, document):
    found = diff(service, document, document)
    assert all(found[name] == [] for name in ("fixed", "new_findings", "other_moves", "still_open", "changed_members"))
    assert found["same_ruleset"] is True
    assert found["old"]["decision_id"] == found["new"]["decision_id"]


def test_another_spelling_is_no_change(service, document):
    new = copy.deepcopy(document)
    new["panelboard"]["short_circuit_rating"] = "10000 A"
    new["project"]["reference"] = "another"
    assert diff(service, document, new)["changed_members"] == []


def test_an_edition_for_both_counts(service, document):
    new = copy.deepcopy(document)
    new["project"]["edition"] = "2017"
    assert diff(service, document, new)["same_ruleset"] is False
    both = diff(service, document, new, edition="2020")
    assert both["same_ruleset"] is True
    assert both["old"]["edition"] == both["new"]["edition"] == "2020"


def test_members_that_come_and_go_are_told_one_by_one():
    old = {"a": {"b": 1, "c": [1, 2]}, "d": True, "e": [{"f": 1}]}
    new = {"a": {"b": 2, "c": [1]}, "d": 1, "g": "new", "e": [{"f": 1}]}
    assert list(changed_members(old, new, "")) == [
        ("/a/b", 1, 2),
        ("/a/c/1", 2, None),
        ("/d", True, 1),
        ("/g", None, "new"),
    ]


@pytest.mark.parametrize("side", ["old", "new"])
def test_a_side_that_is_no_proposal_is_refused_with_its_place(service, document, side):
    request = {"old": document, "new": copy.deepcopy(document)}
    request[side]["panelboard"]["short_circuit_rating"] = 5
    with pytest.raises(Refusal) as refused:
        decision_diff(service, json.dumps(request).encode())
    assert [e.pointer for e in refused.value.errors] == [f"/{side}/panelboard/short_circuit_rating"]
