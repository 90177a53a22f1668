"""The busbar's rating against the load."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_least
from changeout.rules._registry import Limits, rule


@rule(
    "panelboard-rating-at-least-calculated-load",
    group="busbar-and-protection",
    about="/panelboard/busbar_rating",
    stage=Stage.INTAKE,
    needs=("/panelboard/busbar_rating", "calculation:load", "/supply/system"),
    applies_to="every proposal",
)
def panelboard_rating(case: Case, _limits: Limits) -> Answer:
    """The rating of the panelboard is at least the calculated load.

    Because: a busbar that carries more than its rating overheats its joints and the breakers on it.
    Passes: when the busbar's rating is at or above the highest value of the load in amperes.
    Fails: when it is below the lowest value of the load.
    Cannot tell: when the rating, or something that the load rests on, is not stated and decides.
    Not covered: how the load is shared between the legs of the busbar.
    """
    return at_least(
        Quantity(name="busbar rating of the panelboard", number=case.panelboard.busbar_rating_a),
        Quantity(name="calculated load", number=case.load_result.amps),
        "A",
        Notes(remedy="use a panelboard with a busbar rated for the calculated load, or take load off it"),
    )
