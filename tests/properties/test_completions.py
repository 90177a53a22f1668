"""What part of a proposal decides, no completion of it contradicts.

Members are taken out of the examples and what is missing is stated at random, over the whole range of what it can be.
The expectation is the definition of an unknown and needs no source: each completion is one of the installations that
the incomplete proposal can be of.
"""

from __future__ import annotations

import json
import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from changeout.application.service import Service
from changeout.domain.findings import Outcome
from changeout.domain.vocabulary import EDITIONS
from changeout.intake.read import read_value
from changeout.review.remedies import outcomes_of
from properties.part_known import Completion, judged, members_of, outcomes_under, without

EXAMPLES = Service.load().examples()
SUBSETS, COMPLETIONS = 25, 12
LEAST = 200
"""How many completions of an example are compared at least."""

SERVICE = Service.load()

STAYS = {
    Outcome.SATISFIED: {Outcome.SATISFIED, Outcome.NOT_APPLICABLE},
    Outcome.VIOLATION: {Outcome.VIOLATION},
    Outcome.NOT_APPLICABLE: {Outcome.NOT_APPLICABLE},
}
NOT_ASKED_YET = {Outcome.SATISFIED, Outcome.ADVISORY}
EXCEPTIONS = {
    ("ratings-hold-with-impedance-tolerance", Outcome.NOT_APPLICABLE): (
        NOT_ASKED_YET,
        "it only advises, and leaves a rating that does not cover the fault current yet to that rating's own rule",
    ),
    ("termination-temperature-limit", Outcome.NOT_APPLICABLE): (
        NOT_ASKED_YET,
        "of conductors that another rule answers for it says so, until it can be satisfied too",
    ),
    ("ev-supply-equipment-load", Outcome.NOT_APPLICABLE): (
        NOT_ASKED_YET,
        "advice on a stated load whose appliances turn out to charge vehicles",
    ),
    ("interconnected-source-busbar-rule", Outcome.SATISFIED): (
        NOT_ASKED_YET,
        "advice where a busbar with a source said to be at its opposite end turns out to be fed at its center",
    ),
    ("fault-current-evidence-dated", Outcome.SATISFIED): (
        NOT_ASKED_YET,
        "advice where the stated current turns out to be older than the document that it is from",
    ),
    ("enclosure-not-reconditioned", Outcome.SATISFIED): (
        {Outcome.VIOLATION},
        "an existing enclosure that stays counts as reused, until somebody says that it was rebuilt",
    ),
    ("dwelling-general-lighting-density", Outcome.VIOLATION): (
        {Outcome.ADVISORY},
        "advice where the load turns out to be above a rating even as it stands: the rule on that rating is violated",
    ),
    ("dwelling-service-conductor-83-percent", Outcome.NOT_APPLICABLE): (
        NOT_ASKED_YET,
        "conductors that are large enough without the rule are large enough with it",
    ),
    ("breaker-voltage-rating-suits-system", Outcome.NOT_APPLICABLE): (
        NOT_ASKED_YET,
        "on everyday systems a breaker of no stated rating is taken to be marked high enough",
    ),
    ("not-over-steps", Outcome.SATISFIED): (NOT_ASKED_YET, "advice where the place turns out to be a stairway"),
    ("enclosure-type-suits-location", Outcome.SATISFIED): (
        NOT_ASKED_YET,
        "advice where a place declared dry turns out to be outdoors",
    ),
    ("emergency-disconnect-marking", Outcome.SATISFIED): (
        NOT_ASKED_YET,
        "advice where the words turn out to be those for another kind of disconnect",
    ),
    ("high-leg-position-and-marking", Outcome.SATISFIED): (
        NOT_ASKED_YET,
        "advice where the circuit turns out to have two poles and a neutral",
    ),
    ("high-leg-position-and-marking", Outcome.NOT_APPLICABLE): (
        NOT_ASKED_YET,
        "advice where a circuit of two poles turns out to have a neutral",
    ),
    ("neutral-isolated-at-feeder-panelboard", Outcome.SATISFIED): (
        NOT_ASKED_YET,
        "advice where the service disconnect turns out to be another one outdoors",
    ),
}
"""Where a definite answer may move on: to what, and why that contradicts nothing. None of it is a violation."""


@pytest.fixture(scope="module")
def service():
    return Service.load()


def contradicted(before, after):
    """What a completion made of definite answers that it may not make of them."""
    found = []
    for (rule, subject), outcome in before.items():
        if outcome not in STAYS:
            continue
        allowed = STAYS[outcome] | EXCEPTIONS.get((rule, outcome), (set(), ""))[0]
        of_rule = [o for (r, _), o in after.items() if r == rule]
        now = [after[rule, subject]] if (rule, subject) in after else of_rule
        if not any(o in allowed for o in now):
            found.append((rule, subject, outcome.value, [o.value for o in now]))
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_completion_contradicts_a_definite_answer(name):
    original = json.loads(SERVICE.example(name))
    members = members_of(original)
    compared = []

    @settings(max_examples=SUBSETS, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
    @given(seed=st.integers(0, 2**32), edition=st.sampled_from(EDITIONS))
    def completed_at_random(seed, edition):
        rng = random.Random(f"completions {name} {seed}")
        gone = rng.sample(members, rng.choice((1, 2, 4, 8, 16, len(members) // 3, len(members) // 2)))
        part = without(original, gone)
        part["project"]["edition"] = edition
        before = outcomes_under(SERVICE, read_value(part))
        for _ in range(COMPLETIONS):
            completed = Completion(rng, original, leaving_out=0.02).read(part)
            if completed is not None:
                assert contradicted(before, outcomes_under(SERVICE, completed)) == [], (seed, sorted(gone))
                compared.append(seed)

    completed_at_random()
    assert len(compared) >= LEAST


def test_the_comparison_can_fail(service):
    document = json.loads(service.example("dwelling-service"))
    before = outcomes_of(judged(service, document).findings)
    document["panelboard"]["short_circuit_rating"] = "1 kA"
    after = outcomes_of(judged(service, document).findings)
    rule = "short-circuit-rating-at-least-fault-current"
    assert (rule, "/panelboard", "satisfied", ["violation"]) in contradicted(before, after)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_completion_states_nothing_that_contradicts_the_proposal(service, name):
    original = json.loads(service.example(name))
    rng = random.Random(f"stated {name}")
    part = without(original, rng.sample(members_of(original), 6))
    completed = Completion(rng, original).of(part)
    assert completed is not None
    stated = dict(leaves(part))
    assert stated.items() <= dict(leaves(completed)).items()
    assert len(dict(leaves(completed))) > len(stated) + 20
    read_value(completed)


def leaves(value, at=""):
    """Every value of the document that is no object and no list of objects, by its pointer."""
    if isinstance(value, dict):
        for name, part in value.items():
            yield from leaves(part, f"{at}/{name}")
    elif isinstance(value, list) and any(isinstance(part, dict) for part in value):
        for index, part in enumerate(value):
            yield from leaves(part, f"{at}/{index}")
    else:
        yield at, json.dumps(value)


@pytest.mark.parametrize("name", EXAMPLES)
def test_waivers_never_change_the_verdict_before_them(service, name):
    document = json.loads(service.example(name))
    document["panelboard"]["short_circuit_rating"] = "1 kA"
    document["location"].pop("room", None)
    plain = judged(service, document)
    rules = sorted({f.rule for f in plain.findings})
    given = [{"rule": rule, "reason": "a reason", "granted_by": "an authority"} for rule in rules[:100]]
    waived = judged(service, {**document, "waivers": given})
    assert waived.verdict_before_waivers == plain.verdict_before_waivers == plain.verdict
    assert outcomes_of(waived.findings) == outcomes_of(plain.findings)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_same_bytes_and_findings_whatever_the_order_of_members(service, name):
    rng = random.Random(f"order {name}")
    document = json.loads(service.example(name))

    def shuffled(value):
        if isinstance(value, dict):
            names = list(value)
            rng.shuffle(names)
            return {n: shuffled(value[n]) for n in names}
        return [shuffled(v) for v in value] if isinstance(value, list) else value

    one, other = judged(service, document), judged(service, shuffled(document))
    assert one.findings == other.findings
    assert one.decision_id == other.decision_id
