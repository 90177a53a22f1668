"""The same facts under several rulesets. What each edition answers is expected from the sourced cases of the rules."""

import json
from collections import defaultdict
from functools import cache

import pytest

from changeout.application.compare import compare
from changeout.application.service import Service
from changeout.domain.problems import Refusal
from changeout.domain.vocabulary import EDITIONS
from rules.table import cases, proposal_of

IN_FORCE = "edition-in-force-on-application-date"


@pytest.fixture(scope="module")
def service():
    return Service.load()


@cache
def differing():
    """Cases of the same facts that the editions answer differently, by rule; each names the source of its row."""
    alike = defaultdict(dict)
    for case in cases():
        expected = case.expect["findings"][0]
        if "subject" not in expected and case.rule != IN_FORCE:
            facts = (case.rule, case.start, json.dumps(case.change, sort_keys=True), tuple(sorted(case.remove)))
            alike[facts][case.edition] = (case, expected["outcome"])
    return {
        facts: by_edition
        for facts, by_edition in alike.items()
        if len({outcome for _, outcome in by_edition.values()}) > 1
    }


def asked(document, **more):
    return json.dumps({"proposal": document, **more}).encode()


def test_at_least_ten_rules_differ_between_editions_by_their_sources():
    assert len({facts[0] for facts in differing()}) >= 25
    assert all(case.source.strip() for found in differing().values() for case, _ in found.values())


@pytest.mark.parametrize("facts", list(differing()), ids=lambda facts: f"{facts[0]}-{facts[2][:40]}")
def test_the_comparison_finds_what_the_cases_of_the_editions_expect(service, facts):
    by_edition = differing()[facts]
    first = next(iter(by_edition.values()))[0]
    document = proposal_of(first, service.example(first.start))
    found = compare(service, asked(document, editions=list(by_edition)))
    difference = next(d for d in found["differences"] if d["rule"] == facts[0])
    assert {edition: answer["outcome"] for edition, answer in difference["answers"].items()} == {
        edition: outcome for edition, (_, outcome) in by_edition.items()
    }, {edition: case.source for edition, (case, _) in by_edition.items()}
    assert difference["outcome_differs"] is True
    assert all(change["source"] for change in difference["changes"])


def test_differences_of_outcome_come_first_then_of_what_is_required_then_of_the_section(service):
    document = json.loads(service.example("dwelling-service"))
    document["location"]["working_space"]["depth"] = "38 in"
    found = compare(service, asked(document, editions=list(EDITIONS), jurisdictions=["demo-harbor-county"]))

    def weight(difference):
        answers = [a for a in difference["answers"].values() if a]
        required = {json.dumps(a["required"] and [a["required"][n] for n in ("low", "high", "text")]) for a in answers}
        return 0 if difference["outcome_differs"] else 1 if len(required) > 1 else 2

    weights = [weight(d) for d in found["differences"]]
    assert weights == sorted(weights)
    assert set(weights) == {0, 1, 2}


def test_a_jurisdiction_is_a_side_of_its_own_with_its_amendments(service):
    # Source: the shipped local ruleset, which asks for 42 in where the code asks for 36 in (both invented and cited).
    document = json.loads(service.example("dwelling-service"))
    document["location"]["working_space"]["depth"] = "38 in"
    document["project"]["applied_on"] = "2026-03-02"
    found = compare(service, asked(document, editions=["2023"], jurisdictions=["demo-harbor-county"]))
    assert [side["label"] for side in found["sides"]] == ["2023", "demo-harbor-county 2023"]
    assert found["sides"][1]["jurisdiction"] == "demo-harbor-county"
    depth = next(d for d in found["differences"] if d["rule"] == "working-space-depth")
    assert [a["outcome"] for a in depth["answers"].values()] == ["satisfied", "violation"]
    assert "42" in depth["changes"][0]["text"]
    assert depth["changes"][0]["source"]


def test_a_comparison_claims_no_edition_to_be_in_force(service):
    document = json.loads(service.example("dwelling-service"))
    document["project"] |= {"edition": "2017", "jurisdiction": "demo-harbor-county", "applied_on": "2026-03-02"}
    found = compare(service, asked(document))
    assert IN_FORCE not in {d["rule"] for d in found["differences"]}
    assert [side["label"] for side in found["sides"]] == list(EDITIONS)


@pytest.mark.parametrize("name", Service.load().examples())
def test_the_words_of_a_change_say_what_changed_and_nothing_else(service, name):
    found = compare(service, asked(json.loads(service.example(name))))
    texts = [(d["rule"], c["kinds"], c["text"]) for d in found["differences"] for c in d["changes"]]
    assert texts
    for rule, kinds, text in texts:
        assert text[0].isupper() or text[0].isdigit(), (rule, text)
        assert text.endswith(".")
        assert "not set" not in text
        if "new" in kinds:
            assert text.startswith("Asked from here on: "), (rule, text)
        if kinds == ["renumbered"]:
            assert " now, " in text, (rule, text)
            assert text.endswith(" before."), (rule, text)


def test_the_same_rules_on_both_sides_differ_in_nothing(service):
    document = json.loads(service.example("shop-feeder"))
    assert compare(service, asked(document, editions=["2023"]))["differences"] == []


@pytest.mark.parametrize(
    "more, pointer, code",
    [
        ({"editions": ["2019"]}, "/editions/0", "not-in-list"),
        ({"editions": ["2023", 5]}, "/editions/1", "not-in-list"),
        ({"jurisdictions": ["nowhere"]}, "/jurisdictions/0", "not-in-list"),
        ({"editions": []}, "/editions", "too-many"),
        ({"editions": ["2023"] * 9}, "/editions", "too-many"),
        ({"editions": "2023"}, "/editions", "wrong-type"),
        ({"edition": ["2023"]}, "/edition", "unknown-member"),
    ],
)
def test_a_request_that_cannot_be_taken_says_where(service, more, pointer, code):
    with pytest.raises(Refusal) as refused:
        compare(service, asked(json.loads(service.example("shop-feeder")), **more))
    assert [(e.pointer, e.code) for e in refused.value.errors] == [(pointer, code)]


def test_a_jurisdiction_that_has_adopted_nothing_yet_is_refused(service):
    document = json.loads(service.example("shop-feeder"))
    document["project"]["applied_on"] = "2010-01-01"
    with pytest.raises(Refusal) as refused:
        compare(service, asked(document, jurisdictions=["demo-harbor-county"]))
    assert [(e.pointer, e.code) for e in refused.value.errors] == [("/jurisdictions/0", "before-first-adoption")]
