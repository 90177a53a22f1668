"""The size of the grounding electrode conductor."""

from __future__ import annotations

from dataclasses import replace

from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.electrical.grounding import electrode_conductor, supply_conductors
from changeout.rules._case import Case
from changeout.rules._compare import Notes, under
from changeout.rules._grounding import large_enough
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import own_source

_REMEDY = "run a grounding electrode conductor of at least the size required"
_CAPS = {
    ("rod-pipe-plate", "copper"): "rod_cap_copper",
    ("rod-pipe-plate", "aluminum"): "rod_cap_aluminum",
    ("concrete-encased", "copper"): "concrete_cap_copper",
}


@rule(
    "grounding-electrode-conductor-size",
    group="grounding-and-bonding",
    about="/grounding/electrode_conductor",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/role",
        "/supply/separately_derived",
        "/grounding/electrode_conductor/size",
        "/grounding/electrode_conductor/material",
        "/grounding/electrodes",
        "/supply/runs/*/size",
        "/supply/runs/*/sets",
        "/supply/runs/*/material",
    ),
    applies_to="services, and panelboards behind a transformer on the premises",
    parameters=dict.fromkeys(_CAPS.values(), "word"),
)
def electrode_conductor_size(case: Case, limits: Limits) -> Answer:
    """The grounding electrode conductor is at least the size for the supply conductors and its electrodes.

    Because: too thin a conductor to earth burns open in the one event it is there for.
    Passes: when its size is at or above the table's for the supply conductors; or at or above the greatest cap where
        it goes only to electrodes that have one: rods, pipes and plates, concrete-encased electrodes, rings.
    Fails: when it is smaller than the least that could be required.
    Cannot tell: when its size is not stated; or the supply conductors, the electrodes or a material are not, and
        decide. Where only the size of a ground ring could tell, it gets advice.
    Not covered: bonding jumpers from one electrode to the next, and the conductor at a separate building, which the
        rule on such buildings speaks of.
    """
    conductor = case.grounding.electrode_conductor
    caps = {kind: limits.word(name) for kind, name in _CAPS.items()}
    required = electrode_conductor(
        supply_conductors(case.supply.runs), conductor.material, case.grounding.electrodes, caps
    )
    trigger = case.panelboard.role.among("service") | own_source(case.supply)
    answer = large_enough("grounding electrode conductor", conductor, required, Notes(remedy=_REMEDY))
    if answer.judgement is Judgement.UNKNOWN and not answer.missing:
        answer = _to_a_ring(answer)
    return under(
        trigger,
        answer,
        otherwise="a feeder supplies the panelboard without a transformer of its own: the grounding electrode "
        "conductor belongs to the service",
    )


def _to_a_ring(answer: Answer) -> Answer:
    """Answer where only the size of a ground ring could tell, which a proposal does not state."""
    return replace(
        answer,
        judgement=Judgement.ADVISED,
        message="Whether the grounding electrode conductor is as large as the conductor of the ground ring, which is "
        "enough.",
        advice=Advice.INSPECTION,
    )
