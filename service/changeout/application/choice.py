"""Which ruleset judges a proposal."""

from __future__ import annotations

from collections.abc import Mapping

from changeout.domain.problems import DocumentError, Refusal
from changeout.domain.proposal import Project, Proposal
from changeout.editions.jurisdictions import InForce, NotYetAdopted
from changeout.review.local import LocalRulesets
from changeout.review.ruleset import Ruleset
from changeout.rules._case import Adoption


def choose(
    proposal: Proposal,
    override: str | None,
    rulesets: Mapping[str, Ruleset],
    jurisdictions: Mapping[str, LocalRulesets],
) -> tuple[Ruleset, Adoption]:
    """Return the ruleset and how it came to be chosen.

    The caller's *override* wins, then the edition the proposal states, then the one in force in its jurisdiction
    on the date applied on. A local ruleset amends whichever edition is chosen.

    Raises:
        Refusal: if the jurisdiction is unknown, or the date is before its first adoption and no edition is stated.
    """
    project = proposal.project
    local = _jurisdiction(project, jurisdictions)
    in_force = _in_force(project, local, needed=override is None and project.edition.value is None)
    if override is not None:
        chosen, chosen_by = override, "the request's edition parameter"
    elif project.edition.value is not None:
        chosen, chosen_by = project.edition.value, "stated in the proposal"
    else:
        chosen, chosen_by = (in_force.edition, in_force.because) if in_force else ("", "")
    ruleset = rulesets[chosen]
    if local is not None:
        ruleset = local.ruleset(chosen, project.applied_on.value)
    adoption = Adoption(
        chosen=chosen,
        chosen_by=chosen_by,
        in_force=in_force.edition if in_force else None,
        in_force_because=in_force.because if in_force else "",
    )
    return ruleset, adoption


def _jurisdiction(project: Project, jurisdictions: Mapping[str, LocalRulesets]) -> LocalRulesets | None:
    name = project.jurisdiction.value
    if name is None:
        return None
    if name not in jurisdictions:
        known = ", ".join(jurisdictions) or "none"
        raise _refusal(
            project.jurisdiction.at, "no-such-jurisdiction", f"No jurisdiction is called {name}; known are: {known}."
        )
    return jurisdictions[name]


def _in_force(project: Project, local: LocalRulesets | None, *, needed: bool) -> InForce | None:
    applied_on = project.applied_on.value
    if local is None or applied_on is None:
        return None
    try:
        return local.jurisdiction.in_force(project)
    except NotYetAdopted as problem:
        if not needed:
            return None
        raise _refusal(project.applied_on.at, "before-first-adoption", str(problem)) from None


def _refusal(pointer: str, code: str, detail: str) -> Refusal:
    return Refusal("unreadable-proposal", detail, (DocumentError(pointer=pointer, code=code, detail=detail),))
