"""Thresholds flip where they say, sets of members settle what they say, and proven remedies mend what they say.

All by judging the changed document as a caller would send it; fault-current thresholds also in a circuit simulator.
"""

from __future__ import annotations

import itertools
import json
import math
import random
from dataclasses import replace
from functools import cache
from pathlib import Path

import jsonpatch
import pytest

from changeout.application.service import Service
from changeout.domain.findings import Outcome
from changeout.domain.walk import fact_at
from changeout.intake.read import read_value
from changeout.render.report_json import report_object
from changeout.render.text import report_text
from changeout.review.equipment import choices_for
from changeout.review.remedies import outcomes_of
from changeout.review.settling import MOST_TOGETHER, Settling
from electrical.simulated_supply import currents
from properties.part_known import MEMBERS, judged, members_of, without
from properties.test_trials_of_facts import trials_of
from rules.table import cases, proposal_of, put

SERVICE = Service.load()
EXAMPLES = SERVICE.examples()
CASES = Path(__file__).parents[1] / "cases"
FAULT_RULE = "short-circuit-rating-at-least-fault-current"


@cache
def incomplete():
    """Incomplete proposals: the half-known example, and each example with a few members left out."""
    found = [json.loads(SERVICE.example("half-known-dwelling"))]
    for name in EXAMPLES:
        original = json.loads(SERVICE.example(name))
        rng = random.Random(f"incomplete {name}")
        found.append(without(original, rng.sample(members_of(original), 25)))
    return found


@cache
def reports():
    return [judged(SERVICE, document, detail="full") for document in incomplete()]


def beyond(threshold, pointer):
    """The value a hair on the other side of a threshold."""
    up = threshold.relation == ">="
    if MEMBERS.unit(pointer) == "count":
        return threshold.value + (-1 if up else 1)
    return threshold.value * (1 - 2e-3 if up else 1 + 2e-3)


def outcome_with(document, pointer, value, threshold, subject):
    changed = json.loads(json.dumps(document))
    put(changed, pointer, MEMBERS.written(pointer, value))
    outcomes = outcomes_of(judged(SERVICE, changed).findings)
    return outcomes.get((threshold.rule, subject))


@pytest.mark.parametrize("basis", ["fully-rated", "series", None])
def test_circuits_that_are_alike_are_settled_as_each_would_be_by_itself(basis):
    """What settles a finding is sought once for circuits that are alike; sought for each alone it is the same."""
    document = json.loads(SERVICE.example("half-known-dwelling"))
    document["supply"].pop("runs", None)
    document["panelboard"].pop("rating_basis", None)
    if basis is not None:
        document["panelboard"]["rating_basis"] = basis
    rated = {"poles": 1, "breaker": {"rating": "20 A", "interrupting_rating": "10 kA"}}
    document["panelboard"]["circuits"] = [{}, rated, {}, {"poles": 2}, rated, {}]
    compared = 0
    settling = Settling(trials_of(document), MEMBERS)
    for finding in judged(SERVICE, document, detail="full").findings:
        if finding.outcome is Outcome.UNDETERMINED and "/circuits/" in finding.subject:
            assert finding.settled_by == settling.sets_for(replace(finding, settled_by=())), finding.rule
            compared += 1
    assert compared >= 6


def test_every_threshold_flips_its_rule():
    tried = 0
    for document, report in zip(incomplete(), reports(), strict=True):
        for question in report.questions:
            limit = question.threshold
            if limit is None:
                continue
            subjects = [f.subject for f in report.findings if f.rule == limit.rule and question.pointer in f.missing]
            at = {s: outcome_with(document, question.pointer, limit.value, limit, s) for s in subjects}
            past = {s: outcome_with(document, question.pointer, beyond(limit, question.pointer), limit, s) for s in at}
            assert any(at[s] is limit.outcome is not past[s] for s in subjects), (question, at, past)
            tried += 1
    assert tried >= 20


def test_the_sentence_of_a_threshold_holds_where_it_says():
    for document, report in zip(incomplete(), reports(), strict=True):
        for question in report.questions:
            if question.threshold is None:
                assert not question.ask.endswith(("upward.",))
                continue
            sentence = question.ask.rsplit(". ", 1)[1] if not question.ask.endswith("%.") else question.ask
            assert ("upward." in sentence) == (question.threshold.relation == ">="), question.ask
            said = _value_said(question.ask, question.pointer)
            if said is not None:
                subjects = [f.subject for f in report.findings if f.rule == question.threshold.rule]
                found = {outcome_with(document, question.pointer, said, question.threshold, s) for s in subjects}
                assert question.threshold.outcome in found, question.ask


def _value_said(ask, pointer):
    words = ask.removesuffix(" upward.").removesuffix(".").replace(",", "").split()
    number, unit = (words[-1], "") if MEMBERS.unit(pointer) in {"count", "ratio"} else (words[-2], words[-1])
    times = {"ft": 12.0, "kA": 1000.0, "kVA": 1000.0, "kW": 1000.0}.get(unit, 1.0)
    return float(number) * times if number.replace(".", "", 1).isdigit() else None


@pytest.mark.parametrize("name", ["half-known-dwelling"])
def test_fault_current_thresholds_agree_with_a_circuit_simulator(name):
    document = json.loads(SERVICE.example(name))
    report = judged(SERVICE, document, detail="full")
    rating_a = 10_000.0
    asked = [q for q in report.questions if q.threshold is not None and FAULT_RULE in q.decides]
    assert {q.pointer for q in asked} >= {"/supply/source/impedance_percent", "/supply/runs/0/length"}
    for question in asked:
        limit = question.threshold
        assert (limit.relation, limit.outcome) == (">=", Outcome.SATISFIED)
        passing, failing = (simulated(question.pointer, limit.value * factor) for factor in (1.01, 0.99))
        assert passing < rating_a < failing, (question.pointer, passing, failing)


BY_TRANSFORMER = [
    name
    for name in EXAMPLES
    if (supply := json.loads(SERVICE.example(name))["supply"])["source"]["kind"] == "transformer"
    and supply["source"].get("impedance_percent")
]


@pytest.mark.parametrize("member", ["impedance_percent", "rating", "length"])
@pytest.mark.parametrize("name", BY_TRANSFORMER)
def test_the_threshold_of_one_member_left_out_agrees_with_a_circuit_simulator(name, member):
    document = json.loads(SERVICE.example(name))
    supply, source = document["supply"], document["supply"]["source"]
    document["panelboard"].pop("series_rating", None)
    supply["motor_full_load_current"] = "0 A"
    for run in supply["runs"]:
        run["resistance"], run["reactance"] = "0.12 ohm/kft", "0.05 ohm/kft"
    spec = simulator_spec(supply)
    rating_a = math.floor(max(currents(spec).values()) / 100) * 100.0
    document["panelboard"]["short_circuit_rating"] = f"{rating_a:g} A"
    pointer = "/supply/runs/0/length" if member == "length" else f"/supply/source/{member}"
    (supply["runs"][0] if member == "length" else source).pop(member)
    (question,) = [q for q in judged(SERVICE, document, detail="full").questions if q.pointer == pointer]
    limit = question.threshold
    assert limit is not None
    assert limit.rule == FAULT_RULE
    assert limit.outcome is Outcome.SATISFIED
    passing, failing = (1.01, 0.99) if limit.relation == ">=" else (0.99, 1.01)
    assert member == "rating" or limit.relation == ">="
    for factor, expected in ((passing, True), (failing, False)):
        name_in_spec = {"rating": "rating_va", "length": "length_in"}.get(member, member)
        (spec["runs"][0] if member == "length" else spec["source"])[name_in_spec] = limit.value * factor
        assert (max(currents(spec).values()) <= rating_a) == expected, (limit, factor)


def simulator_spec(supply):
    """A supply with all known as the simulator takes it: base units, the ohms of its conductors as they stand."""
    proposal = read_value({**json.loads(SERVICE.example("dwelling-service")), "supply": supply}).proposal
    source, up = proposal.supply.source, proposal.supply.source.upstream
    upstream = {"kind": up.kind.value}
    if up.value_va.stated:
        upstream |= {"value_va": up.value_va.value, "x_over_r": up.x_over_r.value}
    names = {"rating_va": source.rating_va, "impedance_percent": source.impedance_percent, "x_over_r": source.x_over_r}
    return {
        "system": proposal.supply.system.value,
        "source": {"kind": "transformer", "upstream": upstream, **{n: fact.value for n, fact in names.items()}},
        "runs": [
            {
                "length_in": run.length_in.value,
                "sets": run.sets.value,
                "resistance_ohm_per_kft": run.resistance_ohm_per_kft.value,
                "reactance_ohm_per_kft": run.reactance_ohm_per_kft.value,
            }
            for run in proposal.supply.runs
        ],
    }


def simulated(pointer, value):
    """The greatest fault current of the half-known dwelling with the worst of what else it does not state.

    Unlimited primary, 50 kVA, 2/0 AWG aluminum in nonmetallic raceway: 0.16 and 0.041 ohm per 1000 ft (the printed
    table of conductor impedances). Unknown: impedance from 0.1 %, length from nothing, and the X/R that lets most
    current through.
    """
    percent = value if pointer.endswith("impedance_percent") else 0.1
    length_in = value if pointer.endswith("length") else 1e-6
    run = {"length_in": length_in, "sets": 1, "resistance_ohm_per_kft": 0.16, "reactance_ohm_per_kft": 0.041}
    found = []
    for x_over_r in (0.05, 0.2, 0.5, 1.0, 2.0, 5.0, 20.0, 100.0):
        source = {"kind": "transformer", "rating_va": 50_000.0, "impedance_percent": percent, "x_over_r": x_over_r}
        supply = {"system": "120/240V-1ph-3w", "source": {**source, "upstream": {"kind": "unlimited"}}, "runs": [run]}
        found.append(max(currents(supply).values()))
    return max(found)


def test_what_settles_a_finding_settles_it_and_no_less_does():
    seen = set()
    for document, report in zip(incomplete(), reports(), strict=True):
        trials = trials_of(document)
        settling = Settling(trials, MEMBERS)
        for finding in report.findings:
            if finding.outcome is not Outcome.UNDETERMINED:
                assert finding.settled_by == ()
                continue
            sizes = {len(together) for together in finding.settled_by}
            assert len(sizes) <= 1
            assert all(set(together) <= set(finding.missing) for together in finding.settled_by)
            if (finding.rule, finding.missing) in seen or sizes == {1}:
                continue
            seen.add((finding.rule, finding.missing))
            for together in finding.settled_by[:2]:
                assert len(together) <= MOST_TOGETHER
                assert not any(settles(trials, settling, finding, (p,)) for p in together)
            assert not (sizes - {2}) or not pairs(trials, settling, finding)


def settles(trials, settling, finding, pointers):
    choices = itertools.product(*(settling.answers(p) for p in pointers))
    return any(
        trials.with_facts(*facts).outcome(finding.rule, finding.subject) is not Outcome.UNDETERMINED
        for facts in itertools.islice(choices, 60)
    )


def pairs(trials, settling, finding):
    """Pairs that settle a finding, by trying: the first few members of it."""
    return [p for p in itertools.combinations(finding.missing[:4], 2) if settles(trials, settling, finding, p)]


def test_the_report_tells_what_settles_a_finding():
    shown = report_object(judged(SERVICE, incomplete()[0], detail="full"))
    of_rule = {f["rule"]: f["settled_by"] for f in shown["findings"] if f["outcome"] == "undetermined"}
    assert ["/supply/source/impedance_percent"] in of_rule[FAULT_RULE]
    assert of_rule["interconnected-source-busbar-rule"] == [["/generation"]]
    assert any(len(together) > 1 for sets in of_rule.values() for together in sets)
    findings_only = report_object(judged(SERVICE, incomplete()[0]))
    assert all("settled_by" not in f for f in findings_only["findings"])


def violated():
    """Proposals with violations: every fixture, each expert's proposal, and the cases of the rules, once each."""
    for name in EXAMPLES:
        yield json.loads(SERVICE.example(name))
    for file in ("core", "wide"):
        for case in json.loads((CASES / f"{file}.json").read_text("utf-8")):
            yield case["proposal"]
    seen = set()
    for case in cases():
        if case.expect["findings"][0].get("outcome") == "violation" and (case.rule, case.name) not in seen:
            seen.add((case.rule, case.name))
            yield proposal_of(case, SERVICE.example(case.start))


def unmended(document, report, seen):
    """How many remedies were tried that were not *seen* yet, and those that leave their violation or make another one."""
    tried, wrong = 0, []
    before = outcomes_of(report.findings)
    for finding in report.findings:
        for remedy in finding.remedies if finding.outcome is Outcome.VIOLATION else ():
            known = (finding.rule, finding.subject, json.dumps(remedy.patch), finding.message)
            if not remedy.patch or known in seen:
                continue
            seen.add(known)
            changed = jsonpatch.apply_patch(document, [dict(operation) for operation in remedy.patch])
            after = outcomes_of(judged(SERVICE, changed).findings)
            mended = after.get((finding.rule, finding.subject)) is Outcome.SATISFIED
            new = [key for key, o in after.items() if o is Outcome.VIOLATION and before.get(key) is not o]
            if not mended or new:
                wrong.append((finding.rule, finding.subject, remedy.patch, new))
            tried += 1
    return tried, wrong


def test_every_proven_remedy_mends_its_finding_and_breaks_nothing():
    tried, wrong, seen = 0, [], set()
    for document in violated():
        report = judged(SERVICE, document, detail="full")
        more, found = unmended(document, report, seen)
        tried, wrong = tried + more, wrong + found
    assert wrong == []
    assert tried >= 150


def test_a_remedy_that_mends_nothing_would_be_seen():
    document = json.loads(SERVICE.example("dwelling-service"))
    document["panelboard"]["short_circuit_rating"] = "1 kA"
    report = judged(SERVICE, document, detail="full")
    (finding,) = [f for f in report.findings if f.rule == FAULT_RULE]
    (proven,) = [r for r in finding.remedies if r.patch and "short_circuit_rating" in r.patch[0]["path"]]
    useless = replace(proven, patch=({**proven.patch[0], "value": "2 kA"},))
    blind = replace(report, findings=(replace(finding, remedies=(useless,)),))
    assert unmended(document, blind, set())[1]


def test_the_first_question_settles_more_than_any_other_once_answered():
    document = json.loads(SERVICE.example("half-known-dwelling"))
    report = judged(SERVICE, document, detail="full")
    trials = trials_of(document)
    settling = Settling(trials, MEMBERS)
    open_ = [f for f in report.findings if f.outcome is Outcome.UNDETERMINED]
    found = {
        q.pointer: {(f.rule, f.subject) for f in open_ if settles(trials, settling, f, (q.pointer,))}
        for q in report.questions
    }
    first, *others = report.questions
    for other in others:
        instead = found[other.pointer] == found[first.pointer]  # the very same findings, told by another member
        assert instead or len(found[other.pointer]) < len(found[first.pointer]), other.pointer
    assert [q.settles for q in report.questions] == sorted((q.settles for q in report.questions), reverse=True)
    assert first.settles == len(found[first.pointer]) >= 10


def test_the_half_known_fixture_yields_a_report_of_a_page_or_more():
    report = judged(SERVICE, json.loads(SERVICE.example("half-known-dwelling")), detail="full")
    assert len(report_text(report, colour=False).splitlines()) >= 50
    assert len(report.questions) >= 10


DECLARED = (
    "/enclosure/field_label/state",
    "/enclosure/former_listing_marks",
    "/enclosure/listed_for_panelboard",
    "/enclosure/dead_front",
    "/enclosure/condition",
    "/enclosure/unused_openings_closed",
    "/enclosure/identified_for_environment",
    "/panelboard/listed",
    "/panelboard/reconditioned",
    "/panelboard/identified_for_application",
    "/panelboard/marking_visible",
    "/panelboard/series_rating/field_marked",
    "/panelboard/circuits/0/breaker/suitable_for_panelboard",
    "/panelboard/circuits/0/breaker/reconditioned",
    "/location/room",
    "/location/conditions",
    "/location/working_space/depth",
    "/location/readily_accessible",
    "/location/dedicated_space_clear",
    "/grounding/neutral_isolated",
    "/service/fault_current_marking",
    "/service/emergency_disconnect",
    "/supply/source/impedance_percent",
    "/supply/source/rating",
    "/supply/runs/0/length",
    "/load/floor_area",
    "/work/scope",
    "/project/occupancy",
)


@pytest.mark.parametrize("pointer", DECLARED)
def test_what_is_declared_or_measured_is_no_equipment_to_choose(pointer):
    proposal = read_value(json.loads(SERVICE.example("dwelling-service"))).proposal
    fact = fact_at(proposal, pointer)
    assert fact is not None
    assert choices_for(fact, proposal) == []


def test_thresholds_are_machine_readable():
    for report in reports():
        for question in report.questions:
            if question.threshold is not None:
                assert question.threshold.relation in {">=", "<="}
                assert math.isfinite(question.threshold.value)
                assert question.threshold.unit == MEMBERS.unit(question.pointer)
