"""Whether a grounding or bonding conductor is there."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.proposal import GroundingConductor
from changeout.domain.truth import Truth


def is_there(conductor: GroundingConductor) -> Claim:
    """Return the claim that there is such a conductor: one of a stated size is there, of whatever kind it is."""
    if not conductor.kind.stated and conductor.size.stated:
        return Claim(Truth.YES, conductor.size.inputs)
    return ~conductor.kind.among("none")
