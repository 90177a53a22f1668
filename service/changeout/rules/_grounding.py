"""The size of a grounding or bonding conductor against the least size, read by the rules on each of them."""

from __future__ import annotations

from dataclasses import replace

from changeout.domain.facts import Measurement
from changeout.domain.findings import Answer, Basis
from changeout.domain.proposal import GroundingConductor
from changeout.electrical.grounding import conductor_area
from changeout.electrical.smallest_conductor import sized
from changeout.rules._compare import Notes, decide, reaches, words


def large_enough(what: str, conductor: GroundingConductor, required: Measurement, notes: Notes) -> Answer:
    """Answer whether a conductor, called *what*, has at least the area *required*, in kcmil."""
    claim = reaches(conductor_area(conductor.size), required)
    needed = in_trade_sizes(required, conductor)
    stated = conductor.size.stated
    found = " ".join(part for part in (conductor.size.value, conductor.material.value) if part)
    return decide(
        claim,
        yes=f"the {what} ({found or 'of any size'}) is at least the size required ({needed})",
        no=f"the {what} ({found}) is smaller than required ({needed})",
        unknown=f"the size of the {what} is not stated; required here: {needed}"
        if not stated
        else f"whether the {what} ({found}) is large enough cannot be told from what is stated; required here: "
        f"{needed}",
        found=words(what, found) if stated else None,
        required=words(f"least size of the {what}", needed, ">="),
        notes=replace(notes, basis=Basis.COMPUTED),
    )


def in_trade_sizes(required: Measurement, conductor: GroundingConductor) -> str:
    """Return the least size in words, with the material that it is for: ``4 AWG copper``."""
    material = conductor.material.value
    return f"{sized(required.interval)} {material or 'copper or aluminum, by its material'}"
