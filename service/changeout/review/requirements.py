"""Requirements of a jurisdiction's own, written in a closed vocabulary, made into rules."""

from __future__ import annotations

from changeout.domain.facts import (
    Choice,
    Choices,
    Claim,
    ConductorSize,
    Fact,
    Flag,
    Number,
    Text,
    all_claims,
)
from changeout.domain.findings import Answer
from changeout.domain.truth import Truth
from changeout.domain.walk import facts_of
from changeout.editions.jurisdictions import Condition, Requirement
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, reaches, under, within
from changeout.rules._registry import Limits, Rule


def rule_of(requirement: Requirement) -> Rule:
    """Return the rule that asks a local requirement."""

    def check(case: Case, _limits: Limits) -> Answer:
        facts = facts_of(case.proposal)
        trigger = all_claims(claim_of(condition, facts) for condition in requirement.when)
        wanted = (
            claim_of(requirement.requires, facts)
            if requirement.requires is not None
            else _has_document(case, requirement.document or "")
        )
        answer = decide(
            wanted,
            yes=f"the local requirement is met: {requirement.title}",
            no=f"the local requirement is not met: {requirement.title}",
            unknown=f"not stated, for the local requirement: {requirement.title}",
            notes=Notes(remedy=requirement.remedy),
        )
        return under(trigger, answer, otherwise="the local requirement does not reach this proposal")

    about = requirement.requires.member if requirement.requires is not None else "/documents"
    return Rule(
        id=requirement.id,
        group="local",
        about=about,
        stage=requirement.stage,
        needs=(*(c.member for c in requirement.when), about),
        parameters={},
        applies_to="what the local ruleset says" if requirement.when else "every proposal in the jurisdiction",
        check=check,
        title=requirement.title,
        sections={
            "Because": requirement.because,
            "Passes": "when what the local ruleset requires is stated so",
            "Fails": "when it is stated otherwise",
            "Cannot tell": "when a member that it reads is not stated",
        },
    )


def claim_of(condition: Condition, facts: dict[str, Fact]) -> Claim:
    """Return the claim that a condition holds. A member that is not in the proposal at all is unknown."""
    fact = facts.get(condition.member)
    if fact is None:
        return Claim(Truth.UNKNOWN, (condition.member,), (condition.member,))
    if condition.stated is not None:
        return Claim(Truth.of(fact.stated == condition.stated), fact.inputs)
    if isinstance(fact, Number) and condition.at_least is not None:
        return reaches(fact, condition.at_least)
    if isinstance(fact, Number) and condition.at_most is not None:
        return within(fact, condition.at_most)
    if isinstance(fact, Flag) and isinstance(condition.equals, bool):
        return fact.claim if condition.equals else ~fact.claim
    words = condition.among or (str(condition.equals),)
    if isinstance(fact, Choices):
        return fact.includes(*words)
    if isinstance(fact, Choice):
        return fact.among(*words)
    if isinstance(fact, ConductorSize | Text) and fact.stated:
        return Claim(Truth.of(fact.value in words), fact.inputs)
    return Claim(Truth.UNKNOWN, fact.inputs, fact.missing)


def _has_document(case: Case, kind: str) -> Claim:
    documents = case.proposal.documents
    if not documents.stated:
        return Claim(Truth.UNKNOWN, documents.inputs, documents.missing)
    return Claim(Truth.of(any(d.kind.value == kind for d in documents)), documents.inputs)
