"""The role of the panelboard, where an edition names the roles that a rule is asked of."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim
from changeout.domain.truth import Truth
from changeout.domain.vocabulary import PANELBOARD_ROLES
from changeout.rules._case import Case


def has_role(case: Case, roles: Sequence[str]) -> Claim:
    """Return the claim that the panelboard has one of *roles*; it has where they are all there are, stated or not."""
    if set(roles) >= set(PANELBOARD_ROLES):
        return Claim(Truth.YES, case.panelboard.role.inputs)
    return case.panelboard.role.among(*roles)
