"""Whatever is left out of a proposal, single members, many, whole objects: nothing definite is said that the whole denies.

Fixtures, the proposals with an expert's expectations and the proposals of the rules' cases, in every edition. The
expectation is the definition of an unknown and needs no source: the whole is one completion of each of its parts.
"""

from __future__ import annotations

import copy
import json
import random
from functools import cache
from pathlib import Path

import pytest

from changeout.application.service import Service
from changeout.domain.problems import Refusal
from changeout.domain.vocabulary import EDITIONS
from changeout.intake.read import read_value
from changeout.intake.record import ListOf, Nested
from changeout.intake.schemas.proposal import PROPOSAL
from properties.part_known import SAYS_BY_ABSENCE, outcomes_under, pattern, unreal, without
from properties.test_completions import contradicted
from rules.table import cases, proposal_of

SERVICE = Service.load()
EXAMPLES = SERVICE.examples()
CASES = Path(__file__).parents[1] / "cases"
CHOOSES_RULES = {"/changeout", "/project", "/project/edition", "/project/jurisdiction", "/documents", "/waivers"}
SEEDS, DOCUMENTS, PARTS = 12, 14, 3


@cache
def documents():
    """Every proposal that is tried, once each."""
    found = [json.loads(SERVICE.example(name)) for name in EXAMPLES]
    for name in ("core", "wide"):
        found += [case["proposal"] for case in json.loads((CASES / f"{name}.json").read_text("utf-8"))]
    first = {(case.rule, case.name): case for case in cases()}
    return found + [proposal_of(case, SERVICE.example(case.start)) for case in first.values()]


def nodes(value, at=""):
    """Everything that can be left out: members, objects and lists, but for what says something by its absence."""
    if isinstance(value, dict):
        for name, part in value.items():
            here = f"{at}/{name}"
            if pattern(here) not in SAYS_BY_ABSENCE and here not in CHOOSES_RULES:
                yield here
            yield from nodes(part, here)
    elif isinstance(value, list):
        for index, part in enumerate(value):
            if isinstance(part, dict):
                yield from nodes(part, f"{at}/{index}")


def denied(document, gone):
    """What is definite without some members and is not so with them; nothing where the rest is no proposal."""
    try:
        before = outcomes_under(SERVICE, read_value(without(document, gone)))
    except Refusal:
        return []
    return contradicted(before, outcomes_under(SERVICE, read_value(document)))


@pytest.mark.parametrize("seed", range(SEEDS))
def test_nothing_definite_of_a_part_is_denied_by_the_whole(seed):
    rng = random.Random(f"left out {seed}")
    every = [d for d in documents() if not unreal(d)]
    tried = 0
    while tried < DOCUMENTS:
        document = copy.deepcopy(rng.choice(every))
        document["project"].pop("jurisdiction", None)
        document["project"]["edition"] = rng.choice(EDITIONS)
        try:
            read_value(document)
        except Refusal:
            continue  # a case of what is refused
        tried += 1
        found = list(nodes(document))
        objects = [p for p in found if p.count("/") <= 2]
        for _ in range(PARTS):
            count = rng.choice((1, 2, 3, 6, 12, len(found) // 4))
            gone = rng.sample(objects, 1) + rng.sample(found, count)
            assert denied(document, gone) == [], (document["project"], gone)


def required():
    """The members that an object must have, as patterns."""
    found = set()

    def go(record, at):
        for name, member in record.members.items():
            if member.required:
                found.add(f"{at}/{name}")
            if isinstance(member, Nested):
                go(member.record, f"{at}/{name}")
            elif isinstance(member, ListOf):
                go(member.record, f"{at}/{name}/*")

    go(PROPOSAL, "")
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_object_or_a_list_left_out_is_no_mistake(name):
    document = json.loads(SERVICE.example(name))
    whole = outcomes_under(SERVICE, read_value(document))
    must = required()
    tried = 0
    for pointer in nodes(document):
        inside = document
        for token in pointer.strip("/").split("/"):
            inside = inside[int(token)] if isinstance(inside, list) else inside[token]
        circuit = pointer.startswith("/panelboard/circuits/") and not pointer.startswith("/panelboard/circuits/0/")
        if not isinstance(inside, dict | list) or circuit or pattern(pointer) in must:
            continue
        read = read_value(without(document, [pointer]))
        assert contradicted(outcomes_under(SERVICE, read), whole) == [], pointer
        tried += 1
    assert tried >= 10


def test_a_denied_answer_would_be_seen():
    document = json.loads(SERVICE.example("dwelling-service"))
    document["panelboard"]["second_main"] = {"kind": "breaker", "rating": "200 A"}
    before = outcomes_under(SERVICE, read_value(without(document, ["/panelboard/second_main"])))
    found = contradicted(before, outcomes_under(SERVICE, read_value(document)))
    assert ("two-mains-and-42-devices", "/panelboard/second_main", "not-applicable", ["violation"]) in found
