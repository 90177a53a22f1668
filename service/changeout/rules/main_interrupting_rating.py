"""The main's interrupting rating against the fault current."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.findings import Answer, Stage
from changeout.domain.proposal import MainDevice
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_least, decide, figure, reaches, under
from changeout.rules._registry import Limits, rule
from changeout.rules._series import nothing_ahead, series_claimed, series_conditions


@rule(
    "main-device-interrupting-rating",
    group="ratings",
    about="/panelboard/main",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/main/kind",
        "/panelboard/main/interrupting_rating",
        "/panelboard/second_main/kind",
        "/panelboard/second_main/interrupting_rating",
        "calculation:fault-current",
        "/panelboard/role",
        "/panelboard/rating_basis",
        "/panelboard/series_rating/basis",
        "/panelboard/series_rating/tested_combination_document",
        "/panelboard/series_rating/field_marked",
        "/panelboard/series_rating/combination_rating",
        "/panelboard/series_rating/upstream_interrupting_rating",
        "/panelboard/series_rating/motor_full_load_current",
        "/panelboard/circuits/*/breaker/interrupting_rating",
        "/supply/overcurrent_device",
        "/work/scope",
        "/documents",
    ),
    applies_to="a panelboard with a main breaker or fusible main",
    parameters={"max_motor_percent": "number"},
)
def main_interrupting_rating(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """The main overcurrent device can interrupt the available fault current.

    Because: a device that tries to break more than it can bursts.
    Passes: when its interrupting rating is at or above the highest value the fault current can have, or a series
        rating with a device ahead, its conditions met, covers it.
    Fails: when its interrupting rating is below the lowest value of the fault current and no series rating covers it.
    Cannot tell: when the rating is not stated or lies inside the range of the fault current.
    """
    percent = limits.number("max_motor_percent")
    first = _main(case, case.panelboard.main, "main", percent)
    second = case.panelboard.second_main
    return first if second is None else (first, _main(case, second, "second main", percent))


def _main(case: Case, main: MainDevice, name: str, max_motor_percent: float) -> Answer:
    current, rating = case.fault_current.at_panelboard, main.interrupting_rating_a
    series = case.panelboard.series_rating
    notes = Notes(
        subject=main.at,
        remedy="use a main with an interrupting rating at or above the available fault current",
    )
    claimed = series_claimed(case) & ~nothing_ahead(case)
    met = series_conditions(case, max_motor_percent) & reaches(series.upstream_interrupting_rating_a, current)
    covered = claimed & met if claimed.holds else claimed
    own = reaches(rating, current)
    if own.holds or covered.fails:
        answer = at_least(
            Quantity(name=f"interrupting rating of the {name}", number=rating),
            Quantity(name="available fault current", number=current),
            "A",
            notes,
        )
    else:
        answer = decide(
            own | covered,
            yes=f"a series rating with the device ahead covers the {name}, whose own interrupting rating is lower",
            no="",
            unknown=f"whether the interrupting rating of the {name}, or a series rating with the device ahead, covers "
            "the available fault current cannot be told from what is stated",
            found=figure("combination rating of the series rating", series.combination_rating_a, "A")
            if covered.holds
            else figure(f"interrupting rating of the {name}", rating, "A"),
            required=figure("available fault current", current, "A", ">="),
            notes=Notes(
                subject=main.at,
                cautions=(f"See that the combination names the {name} as its lower device.",) if covered.holds else (),
                documents=(series.tested_combination_document,),
            ),
        )
    return under(~main.kind.among("lugs"), answer, otherwise=f"the {name} is lugs, no device")
