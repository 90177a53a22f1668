"""How often an undetermined finding is one that could still go both ways: two completions that disagree.

Soundness is required and tested beside this; completeness is measured. The least share that is held here is a floor
against decay, chosen below what was measured (common practice, no source).
"""

import random

from changeout.application.choice import choose
from changeout.application.service import Service
from changeout.domain.findings import Outcome
from changeout.domain.walk import fact_at
from changeout.intake.naming import ProposalMembers
from changeout.intake.read import read_proposal
from changeout.review.answers import possible_answers
from changeout.review.calculations import case_of
from changeout.review.engine import judge
from changeout.review.trial import Trials

SAMPLES = 60
FLOOR = 0.5
GOOD = {Outcome.SATISFIED, Outcome.NOT_APPLICABLE}


def test_most_of_what_is_undetermined_can_go_both_ways():
    service, chance, members = Service.load(), random.Random(1), ProposalMembers()
    proposal = read_proposal(service.example("half-known-dwelling")).proposal
    ruleset, adoption = choose(proposal, None, service.rulesets, service.jurisdictions_by_id)
    case = case_of(proposal, ruleset, adoption)
    trials = Trials(case, ruleset)
    open_, both = 0, 0
    for finding in judge(case, ruleset):
        if finding.outcome is not Outcome.UNDETERMINED:
            continue
        open_ += 1
        facts = [f for f in (fact_at(proposal, p) for p in finding.missing) if f is not None]
        answers = [list(possible_answers(fact, members)) for fact in facts]
        reached = set()
        for _ in range(SAMPLES):
            completed = trials.with_facts(*[chance.choice(a) for a in answers if a])
            outcome = completed.outcome(finding.rule, finding.subject)
            reached.add("good" if outcome in GOOD else outcome.value)
        both += {"good", "violation"} <= reached
    print(f"{both} of {open_} undetermined findings go both ways in {SAMPLES} completions each")  # noqa: T201
    assert open_ > 0
    assert both / open_ >= FLOOR
