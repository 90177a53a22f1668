"""Two neighbouring editions answer differently exactly where their rows do.

Every distinct set of facts among a rule's cases is judged under every edition. Where two rows decide alike (in force,
effect, parameters) the findings are the same, section and review mark aside; where they do not, some finding is
another. Loads are the one thing that an edition changes outside a rule's row: their factors have a table of their own.
"""

import json
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from changeout.application.service import Service
from changeout.domain.vocabulary import EDITIONS
from changeout.intake.read import read_proposal
from changeout.review.calculations import case_of, load_of
from changeout.review.coverage import decisive
from changeout.review.outcomes import findings_of, silent
from changeout.rules import load_rules
from changeout.rules._case import Adoption
from rules.table import cases, proposal_of

ANY_EDITION = "2023"
ADOPTION = Adoption(chosen=ANY_EDITION, chosen_by="stated")
DOUBT = "This rests on"
SERVICE = Service.load()
RULES = load_rules()
BY_LOAD = {name for name, rule in RULES.items() if "calculation:load" in rule.needs}


@cache
def situations():
    """The distinct facts of every rule's cases, as cases without an edition's load."""
    found = {}
    for case in cases():
        document = proposal_of(replace(case, edition=ANY_EDITION), SERVICE.example(case.start))
        found.setdefault(case.rule, {}).setdefault(json.dumps(document), None)
    return {rule: list(bodies) for rule, bodies in found.items()}


@cache
def case(body):
    return case_of(read_proposal(body.encode()).proposal, SERVICE.rulesets[ANY_EDITION], ADOPTION)


@cache
def under(edition, rule, body):
    """What the rule's findings say of the facts under an edition, without its name, section and review mark."""
    ruleset, found = SERVICE.rulesets[edition], case(body)
    row = ruleset.edition.rows[rule]
    if not row.is_asked:
        assert silent(ruleset, RULES[rule]).reference.section == row.section
        return ("not asked",)
    here = replace(found, load_result=load_of(found.proposal, ruleset))
    answers = RULES[rule].check(here, ruleset.limits[rule])
    findings = findings_of(ruleset, RULES[rule], answers, completed=found.work.status.value == "completed")
    assert {f.reference.section for f in findings} == {row.section}
    assert {f.reference.also for f in findings} == {row.also}
    return tuple(map(said, findings))


def said(finding):
    cautions = tuple(caution for caution in finding.cautions if not caution.startswith(DOUBT))
    return replace(finding, cautions=cautions, reviewed=None, reference=None)


def figures(load):
    """The numbers of a load, without the words of its steps."""
    numbers = (load.va, load.amps, load.continuous_adjusted_a, load.general_lighting_va, load.ev_required_va)
    return [n.interval for n in (*numbers, load.ev_counted_va, load.corrected_va, load.corrected_a)]


def row(edition, rule):
    return SERVICE.rulesets[edition].edition.rows[rule]


@pytest.mark.parametrize("former,edition", list(pairwise(EDITIONS)))
@pytest.mark.parametrize("rule", sorted(RULES))
def test_two_editions_differ_exactly_where_their_rows_do(rule, former, edition):
    differ = [body for body in situations()[rule] if under(former, rule, body) != under(edition, rule, body)]
    alike = decisive(row(former, rule)) == decisive(row(edition, rule))
    if not alike:
        assert differ != []
    elif rule not in BY_LOAD:
        assert differ == []


@pytest.mark.parametrize("rule", sorted(BY_LOAD))
def test_a_rule_on_loads_differs_by_its_row_or_by_the_load_alone(rule):
    for former, edition in pairwise(EDITIONS):
        if decisive(row(former, rule)) != decisive(row(edition, rule)):
            continue
        for body in situations()[rule]:
            if under(former, rule, body) != under(edition, rule, body):
                proposal = case(body).proposal
                one, other = (figures(load_of(proposal, SERVICE.rulesets[name])) for name in (former, edition))
                assert one != other, body
