"""What may be relied on when facts are missing: a definite answer is never contradicted by a completion.

The expectation is the definition of an unknown and needs no source: the complete proposal is one completion of every
proposal that lacks some of its members.
"""

import copy
import json
import random
from pathlib import Path

import pytest

from changeout.application.service import Service
from changeout.domain.findings import Outcome
from changeout.domain.problems import Refusal
from changeout.domain.vocabulary import EDITIONS
from changeout.render.report_json import report_bytes
from changeout.review.remedies import outcomes_of

CASES = Path(__file__).parents[1] / "cases"
NEVER_TAKEN = {
    ("project", "occupancy"), ("work", "scope"), ("work", "status"), ("project", "edition"), ("project",), ("work",),
}  # fmt: skip
SAYS_NONE_BY_ABSENCE = {"overcurrent_device", "separately_derived", "second_main", "status"}
"""Members whose absence is itself an answer: there is none."""

CONTRADICTED = {
    Outcome.SATISFIED: {Outcome.VIOLATION, Outcome.CONDITIONAL},
    Outcome.VIOLATION: {Outcome.SATISFIED, Outcome.NOT_APPLICABLE, Outcome.CONDITIONAL},
    Outcome.NOT_APPLICABLE: {Outcome.VIOLATION, Outcome.CONDITIONAL},
}
"""What a completion must not make of a definite answer."""


@pytest.fixture(scope="module")
def service():
    return Service.load()


def documents(service):
    shipped = [json.loads(service.example(name)) for name in service.examples()]
    cases = [
        c["proposal"] for name in ("core", "wide") for c in json.loads((CASES / f"{name}.json").read_text("utf-8"))
    ]
    return shipped + cases


def paths(value, path=()):
    """Every member of the document that is no list entry."""
    if isinstance(value, dict):
        for name, part in value.items():
            yield (*path, name)
            yield from paths(part, (*path, name))
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from paths(part, (*path, index))


def without(document, taken):
    """The document without some members, and those that could be taken."""
    left, gone = copy.deepcopy(document), []
    for path in taken:
        place = left
        try:
            for part in path[:-1]:
                place = place[part]
            if (
                path in NEVER_TAKEN
                or path[-1] in SAYS_NONE_BY_ABSENCE
                or path[0] in {"changeout", "waivers", "documents"}
            ):
                continue
            del place[path[-1]]
            gone.append(path)
        except (KeyError, IndexError, TypeError):
            continue
    return left, gone


def judged(service, document, edition):
    return outcomes_of(service.validate(json.dumps(document).encode(), edition=edition, detail="findings").findings)


def contradictions(service, document, partial, edition):
    complete, incomplete = judged(service, document, edition), judged(service, partial, edition)
    return [
        (rule, subject, outcome.value, complete[rule, subject].value)
        for (rule, subject), outcome in incomplete.items()
        if complete.get((rule, subject)) in CONTRADICTED.get(outcome, set())
    ]


@pytest.mark.parametrize("seed", range(12))
def test_what_is_definite_with_members_missing_stays_so_when_they_are_stated(service, seed):
    chance = random.Random(seed)
    all_documents = documents(service)
    for _ in range(12):
        document, edition = chance.choice(all_documents), chance.choice(EDITIONS)
        members = list(paths(document))
        partial, gone = without(document, chance.sample(members, chance.choice((1, 2, 3, 6, 12, 30))))
        try:
            found = contradictions(service, document, partial, edition)
        except Refusal:
            continue  # without one of its members the rest is no proposal
        assert found == [], (document["project"].get("reference"), edition, gone)


@pytest.mark.parametrize("name", Service.load().examples())
def test_taking_any_one_member_away_is_never_a_mistake_and_never_mends_anything(service, name):
    document = json.loads(service.example(name))
    edition = document["project"]["edition"]
    complete = judged(service, document, edition)
    circuits = len(document["panelboard"].get("circuits", []))
    kept = [
        path
        for path in paths(document)
        if path[:2] != ("panelboard", "circuits") or len(path) <= 3 or path[2] in {0, circuits // 2, circuits - 1}
    ]  # circuits are alike: the first, a middle and the last stand for all
    # As texts every eighth is enough: the tests of trials take each of them away, as a fact.
    for path in kept[len(name) % 8 :: 8]:
        partial, gone = without(document, [path])
        if not gone:
            continue
        try:
            incomplete = judged(service, partial, edition)
        except Refusal:
            continue
        mended = [
            (key, outcome)
            for key, outcome in incomplete.items()
            if outcome is Outcome.SATISFIED and complete.get(key) in {Outcome.VIOLATION, Outcome.UNDETERMINED}
        ]
        assert mended == [], path
        assert contradictions(service, document, partial, edition) == [], path


@pytest.mark.parametrize("name", Service.load().examples())
def test_order_and_spelling_change_nothing(service, name):
    document = json.loads(service.example(name))
    turned = json.loads(json.dumps(document, sort_keys=True))
    same = json.dumps(document).encode()
    assert report_bytes(service.validate(same)) == report_bytes(service.validate(same))
    assert service.validate(same).decision_id == service.validate(json.dumps(turned).encode()).decision_id
    run = document["supply"]["runs"][0]
    if run.get("length", "").endswith(" ft"):
        feet = float(run["length"].removesuffix(" ft"))
        run["length"] = f"{feet * 12:g} in"
        assert service.validate(json.dumps(document).encode()).decision_id == service.validate(same).decision_id
