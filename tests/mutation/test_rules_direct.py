"""Every case of every rule put straight to its rule, without the rest of a review: quick enough to run thousands of times.

``tests/rules`` runs the same cases through the whole service. Here reading and the calculations that rules share are
made once for a document, so that a run is little more than the rule itself; that is what mutation testing needs.
"""

import copy
import json
from functools import cache

import pytest

from changeout.application.choice import choose
from changeout.application.service import Service
from changeout.domain.findings import Basis, Judgement
from changeout.intake.read import read_value
from changeout.render.report_json import finding_object
from changeout.review.calculations import case_of
from changeout.review.outcomes import findings_of, silent
from expectations import answering, compare
from rules.table import cases, files, proposal_of, words_of

NOTHING_TO_ASK = ("back-fed-device-secured", "dwelling-required-circuits", "existing-dwelling-added-load")
"""Rules that can leave a thing open which no member of a proposal would settle."""
OWN_ARITHMETIC = (
    "branch-conductor-ampacity", "dwelling-service-conductor-83-percent", "enclosure-wiring-fill",
    "equipment-grounding-conductor-size", "grounding-electrode-conductor-size", "interconnected-source-busbar-rule",
    "load-method-allowed-for-this-proposal", "main-bonding-jumper-present-and-sized",
    "ratings-hold-with-impedance-tolerance", "service-disconnect-minimum-rating", "supply-side-source-sum",
    "termination-temperature-limit", "wire-bending-space",
)  # fmt: skip
"""Rules that work something out by themselves; what others compute is shown as one of the shared calculations."""
CALCULATIONS = {None, "fault-current", "load"}
UNITS = {"", "A", "V", "VA", "W", "in", "in2", "ft2", "ohm", "degC", "percent", "d"}
RELATIONS = {None, "=", "<=", ">=", "<", ">", "in"}
BY_RULE = {rule: [case for case in cases() if case.rule == rule] for rule in sorted(files())}


@cache
def service():
    return Service.load()


@cache
def judged(document):
    """The case and the ruleset of a document (as JSON text); neither depends on a rule."""
    read = read_value(json.loads(document))
    ruleset, adoption = choose(read.proposal, None, service().rulesets, service().jurisdictions_by_id)
    return case_of(read.proposal, ruleset, adoption), ruleset


@cache
def example(name):
    return service().example(name)


@cache
def texts(rule):
    """The documents of a rule's cases, as JSON text."""
    return tuple(json.dumps(proposal_of(case, example(case.start))) for case in BY_RULE[rule])


def answers_and_findings(document, rule_id):
    case, ruleset = judged(document)
    rule, row = ruleset.rules[rule_id], ruleset.edition.rows[rule_id]
    if not row.is_asked:
        return (), [silent(ruleset, rule)]
    answers = rule.check(case, ruleset.limits[rule_id])
    completed = case.work.status.value == "completed"
    found = findings_of(ruleset, rule, answers, completed=completed)
    return (answers if isinstance(answers, (list, tuple)) else (answers,)), found


@pytest.mark.parametrize("rule", BY_RULE)
def test_the_rule_itself_answers_as_its_cases_say(rule):
    for case, document in zip(BY_RULE[rule], texts(rule), strict=True):
        answers, findings = answers_and_findings(document, rule)
        report = {"findings": [finding_object(f, full=True) for f in findings], "verdict": None}
        assert compare(report, copy.deepcopy(case.expect)) == [], f"{case}: {case.source}"
        if case.says:
            place = report["findings"].index(answering(report, case.expect["findings"][0]))
            assert case.says in words_of(findings[place]), f"{case}: {case.source}"
        for answer in answers:
            assert_is_whole(answer, str(case))


def assert_is_whole(answer, name):
    """What every answer owes its reader, whatever the rule."""
    assert answer.message[:1] == answer.message[:1].upper(), name
    assert answer.message.endswith((".", "?", "!")), name
    assert "None" not in answer.message[1:], name
    assert answer.calculation in CALCULATIONS, name
    if answer.basis is Basis.COMPUTED and not name.startswith(OWN_ARITHMETIC):
        assert answer.calculation, name
    for figure in (answer.found, answer.required):
        if figure is not None:
            assert figure.relation in RELATIONS, name
            assert figure.unit in UNITS or figure.text is not None, name
    assert answer.required is None or answer.required.relation or answer.required.text, name
    for pointer in (*answer.inputs, *answer.missing):
        assert pointer.startswith("/"), name
    if answer.judgement in {Judgement.HOLDS, Judgement.FAILS}:
        assert answer.inputs, name
    if answer.judgement is Judgement.UNKNOWN and not name.startswith(NOTHING_TO_ASK):
        assert answer.missing, name
    if answer.judgement is Judgement.ARRANGED:
        assert answer.condition, name
