"""The sizes of the conductors at a panelboard in one calculation: supply, grounding electrode, bonding, equipment."""

from __future__ import annotations

import math
from typing import Final

from changeout.domain.calculation import Calculation
from changeout.domain.facts import Listed, Measurement, merged
from changeout.domain.interval import Interval
from changeout.domain.proposal import Run
from changeout.domain.value import value
from changeout.electrical.grounding_sizes import GroundingAsked, grounding_section
from changeout.electrical.size_sections import joined
from changeout.electrical.steps import remark
from changeout.electrical.supply_sizes import SupplyAsked, supply_section

ID: Final = "conductor-sizes"
TITLE: Final = "Sizes of the supply, grounding and bonding conductors"


@value(frozen=True, slots=True, kw_only=True)
class SizesAsked:
    """What the sizes are found for, and the sentences that say what was taken for granted or needs care."""

    supply: SupplyAsked
    grounding: GroundingAsked
    assumptions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


def sizes_calculation(asked: SizesAsked) -> Calculation:
    """Return the sizes at a panelboard. What rules compare is the area of the smallest supply conductor, in kcmil."""
    supply, grounding = supply_section(asked.supply), grounding_section(asked.grounding)
    whole = joined((supply, grounding))
    least = supply.rests_on[-1]
    return Calculation(
        id=ID,
        title=TITLE,
        result=Measurement(least.interval, merged(least.inputs, whole.inputs), merged(least.missing, whole.missing)),
        unit="kcmil",
        results=whole.results,
        steps=whole.steps,
        assumptions=(*asked.assumptions, *whole.assumptions),
        cautions=(*asked.cautions, *whole.cautions),
    )


def sizes_without_runs(runs: Listed[Run]) -> Calculation:
    """Return the calculation where no supply conductors are there, or nobody has stated them: nothing can be sized."""
    words = "no conductors lie between source and panelboard" if runs.stated else "the supply conductors are not stated"
    return Calculation(
        id=ID,
        title=TITLE,
        result=Measurement(Interval(0.0, math.inf), runs.inputs, runs.missing),
        unit="kcmil",
        steps=(remark("-", "supply conductors", f"{words}; every size here goes by them", "proposal"),),
    )
