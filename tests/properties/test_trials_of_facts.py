"""A trial, which runs only what a change can move, says what a whole review of the changed proposal says.

Questions, thresholds, proven remedies and what settles a finding all rest on that. It holds as far as ``needs`` names
all that a rule reads, so this is the test of every rule's ``needs`` too.
"""

from __future__ import annotations

import json
import random
from dataclasses import replace

import pytest

from changeout.application.choice import choose
from changeout.application.service import Service
from changeout.domain.facts import Choice, Choices, ConductorSize, Flag, Listed, Number, PowerOrCurrent, VoltageRating
from changeout.domain.findings import Answer, Outcome
from changeout.domain.truth import Truth
from changeout.domain.vocabulary import EDITIONS
from changeout.domain.walk import facts_of, with_fact
from changeout.intake.read import read_value
from changeout.review.answers import possible_answers
from changeout.review.calculations import case_of
from changeout.review.equipment import VOLTAGES
from changeout.review.trial import Trials, judges_each_circuit, pattern_of, reads, with_circuits
from properties.part_known import MEMBERS, SAYS_BY_ABSENCE, members_of, without
from properties.test_completions import contradicted
from rules.table import cases, proposal_of

SERVICE = Service.load()
EXAMPLES = SERVICE.examples()
FAULT_CURRENT = ("/supply/", "/project/occupancy", "/panelboard/busbar_rating")
LOAD = ("/load/", "/supply/system")


def trials_of(document):
    read = read_value(document)
    ruleset, adoption = choose(read.proposal, None, SERVICE.rulesets, SERVICE.jurisdictions_by_id)
    return Trials(case_of(read.proposal, ruleset, adoption), ruleset)


def others(fact):
    """Other values that a stated fact could have, and any that an unstated one could."""
    match fact:
        case Listed():
            return () if fact.stated else (Listed(fact.at, (), given=True),)
        case Number(at, value=value) if value is not None:
            if MEMBERS.unit(at) == "count":
                return (stated(at, value + 1), stated(at, max(1.0, value - 1)))
            return (stated(at, 60.0), stated(at, 75.0)) if "temperature" in at else (stated(at, value / 2),)
        case Flag(at, truth) if fact.stated:
            return (Flag(at, Truth.NO if truth is Truth.YES else Truth.YES),)
        case PowerOrCurrent(at, value, unit) if value is not None:
            return (PowerOrCurrent(at, value * 3, unit),)
        case VoltageRating(at):
            return tuple(VoltageRating(at, *voltage) for voltage in VOLTAGES)
        case Choice(at) | Choices(at):
            words = MEMBERS.words(at)
            return tuple(Choice(at, w) if isinstance(fact, Choice) else Choices(at, (w,)) for w in words)
        case ConductorSize():
            return tuple(possible_answers(replace(fact, value=None), MEMBERS))
        case _:
            return () if fact.stated else tuple(possible_answers(fact, MEMBERS))


def stated(at, value):
    return Number(at, value, value, value)


def changes(trials, rng, count):
    """Some facts of the proposal with other values in their places."""
    fixed = ("/project/edition", "/project/jurisdiction", "/work/status", "/documents", "/waivers")
    facts = [f for f in facts_of(trials.case.proposal).values() if not f.at.startswith(fixed)]
    found = [rng.choice(values) for fact in rng.sample(facts, min(len(facts), 3 * count)) if (values := others(fact))]
    return found[:count]


def differences(trials, *changed):
    """What a trial with facts says otherwise than a review of the changed proposal."""
    trial, case, proposal = trials.with_facts(*changed), trials.case, trials.case.proposal
    for fact in changed:
        proposal = with_fact(proposal, fact)
    fresh = Trials(case_of(proposal, trials.ruleset, case.adoption), trials.ruleset).as_it_is
    found = []
    for rule in trials.ruleset.edition.rows:
        whole = fresh.outcomes(rule)
        if dict(trial.outcomes(rule)) != dict(whole):
            found.append((rule, changed))
        found += [(rule, changed, s) for s, outcome in whole.items() if trial.outcome(rule, s) is not outcome]
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_trial_says_what_a_review_says(name):
    original = json.loads(SERVICE.example(name))
    members = members_of(original)
    for part in range(3):
        rng = random.Random(f"trials {name} {part}")
        trials = trials_of(without(original, rng.sample(members, part * len(members) // 4)))
        facts = changes(trials, rng, 14)
        for fact in facts:
            assert differences(trials, fact) == []
        for together in (facts[:2], facts[2:5], facts):
            assert differences(trials, *together) == []


def test_a_trial_says_what_a_review_says_in_the_cases_of_rules():
    rng = random.Random("trials of cases")
    for case in rng.sample(list(cases()), 60):
        trials = trials_of(proposal_of(case, SERVICE.example(case.start)))
        for fact in changes(trials, rng, 4):
            assert differences(trials, fact) == [], case


def test_a_difference_would_be_seen():
    trials = trials_of(json.loads(SERVICE.example("dwelling-service")))
    rules = {**trials.ruleset.rules}
    name = "short-circuit-rating-at-least-fault-current"
    rules[name] = replace(rules[name], needs=("/location/room",))
    blind = Trials(trials.case, replace(trials.ruleset, rules=rules))
    fact = stated("/panelboard/short_circuit_rating", 1.0)
    assert differences(trials, fact) == []
    assert {found[0] for found in differences(blind, fact)} == {name}


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_rule_that_judges_each_circuit_says_of_one_alone_what_it_says_of_it_among_all(edition):
    compared = 0
    for name in EXAMPLES:
        document = json.loads(SERVICE.example(name))
        document["project"]["edition"] = edition
        trials = trials_of(document)
        for rule_id, rule in trials.ruleset.rules.items():
            if not judges_each_circuit(rule, trials.case) or not trials.ruleset.edition.rows[rule_id].is_asked:
                continue
            limits = trials.ruleset.limits[rule_id]
            among_all = rule.check(trials.case, limits)
            for circuit in [] if isinstance(among_all, Answer) else trials.case.circuits:
                alone = rule.check(with_circuits(trials.case, (circuit,)), limits)
                assert [a for a in among_all if a.subject == circuit.at] == [
                    a for a in alone if a.subject == circuit.at
                ], (rule_id, circuit.at)
                if rule.of_circuit is not None:
                    assert rule.of_circuit(trials.case, limits, circuit) in among_all
                compared += 1
    assert compared > 1000


@pytest.mark.parametrize(("basis", "apart"), [("fully-rated", True), ("series", False), (None, False)])
def test_breakers_that_may_be_series_rated_are_judged_together(basis, apart):
    """The motors between the pair of a series rating are measured by the least rating of all its branch breakers."""
    document = json.loads(SERVICE.example("shop-feeder"))
    document["panelboard"].pop("rating_basis", None)
    if basis is not None:
        document["panelboard"]["rating_basis"] = basis
    trials = trials_of(document)
    assert trials.judges_each_circuit("branch-breaker-interrupting-rating") is apart


@pytest.mark.parametrize("name", EXAMPLES)
def test_leaving_out_any_one_member_mends_nothing_and_contradicts_nothing(name):
    document = json.loads(SERVICE.example(name))
    trials = trials_of(document)
    rules = trials.ruleset.edition.rows
    before = {(rule, at): o for rule in rules for at, o in trials.as_it_is.outcomes(rule).items()}
    blank = facts_of(read_value(emptied(document)).proposal)
    for pointer in members_of(document):
        if pointer not in blank or isinstance(blank[pointer], Listed) or pointer.endswith("/document"):
            continue
        trial = trials.with_facts(blank[pointer])
        after = {(rule, at): o for rule in trial.moved for at, o in trial.outcomes(rule).items()}
        mended = [
            key
            for key, outcome in after.items()
            if outcome is Outcome.SATISFIED and before.get(key) in {Outcome.VIOLATION, Outcome.UNDETERMINED}
        ]
        assert mended == [], pointer
        assert contradicted(after, before) == [], pointer


def emptied(value, at=""):
    """The document with nothing stated but what must be: every entry of its lists is there and says nothing."""
    if isinstance(value, dict):
        kept = {n: emptied(v, f"{at}/{n}") for n, v in value.items() if isinstance(v, dict) or is_objects(v)}
        keep = {"changeout", "edition", "jurisdiction", "occupancy", "scope", "id", "name", "number", "title"}
        return kept | {n: v for n, v in value.items() if n in keep and not at.startswith("/enclosure")}
    return [emptied(entry, f"{at}/*") for entry in value]


def is_objects(value):
    return isinstance(value, list) and any(isinstance(entry, dict) for entry in value)


def unnamed(rule, answers):
    """Members that a rule's answers rest on, or ask for, and that its ``needs`` do not name."""
    found = set()
    for answer in (answers,) if isinstance(answers, Answer) else answers:
        for pointer in (*answer.inputs, *answer.missing):
            by_calculation = ("calculation:fault-current" in rule.needs and pointer.startswith(FAULT_CURRENT)) or (
                "calculation:load" in rule.needs and pointer.startswith(LOAD)
            )
            if not by_calculation and not reads(rule.needs, pattern_of(pointer)):
                found.add((rule.id, pattern_of(pointer)))
    return found


def checked(trials, rule_id):
    """What a rule answers, nothing where the edition does not ask it."""
    if not trials.ruleset.edition.rows[rule_id].is_asked:
        return ()
    return trials.ruleset.rules[rule_id].check(trials.case, trials.ruleset.limits[rule_id])


def test_needs_name_all_that_answers_rest_on_in_the_examples():
    found = set()
    for name in EXAMPLES:
        for edition in EDITIONS:
            document = json.loads(SERVICE.example(name))
            document["project"]["edition"] = edition
            trials = trials_of(document)
            for rule_id, rule in trials.ruleset.rules.items():
                found |= unnamed(rule, checked(trials, rule_id))
    assert found == set()


def test_needs_name_all_that_answers_rest_on_in_the_cases_of_rules():
    first = {(case.rule, case.name): case for case in reversed(list(cases()))}
    found = set()
    for case in first.values():
        trials = trials_of(proposal_of(case, SERVICE.example(case.start)))
        named = unnamed(trials.ruleset.rules[case.rule], checked(trials, case.rule))
        found |= {(*one, case.name) for one in named}
    assert found == set()


def test_what_says_something_by_its_absence_is_a_member():
    known = {
        pattern_of(f.at)
        for name in EXAMPLES
        for f in facts_of(trials_of(json.loads(SERVICE.example(name))).case.proposal).values()
    }
    assert {p for p in SAYS_BY_ABSENCE if p.startswith(("/location", "/enclosure", "/load", "/service"))} <= known
