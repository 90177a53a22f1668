"""Space for bending the supply conductors at the main terminals."""

from __future__ import annotations

from changeout.domain.facts import Claim, Number, all_claims
from changeout.domain.findings import Answer, Basis, Judgement, Stage
from changeout.domain.proposal import Run
from changeout.domain.truth import Truth
from changeout.electrical.clearances import bending_space
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_least, not_applicable, reaches, under, within
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import last_run


@rule(
    "wire-bending-space",
    group="conductors",
    about="/enclosure/wire_bending_space",
    stage=Stage.INSPECTION,
    needs=(
        "/enclosure/wire_bending_space",
        "/supply/runs",
        "/supply/runs/*/size",
        "/supply/runs/*/sets",
        "/enclosure/wires_per_terminal",
        "/enclosure/terminal_faces_wall",
        "/panelboard/busbar_rating",
        "/panelboard/marked_maximum_poles",
    ),
    applies_to="every panelboard that conductors lead to",
    parameters={"one_end_through_a": "number", "one_end_devices": "number"},
)
def wire_bending_space(case: Case, limits: Limits) -> Answer:
    """The space at the main terminals is enough to bend the supply conductors.

    Because: a conductor forced round a short bend pulls at its terminal and cuts into its insulation; a newer interior
        can stand with its terminals closer to the end wall than the old one did.
    Passes: when the space is at or above the table's for the size and the wires on a terminal: the larger table where
        the conductors pass the wall opposite their terminals, else the smaller. In a panelboard of the edition's
        rating and number of devices or less, one end may have the smaller.
    Fails: when it is below.
    Cannot tell: when the space, the conductors or the way they leave is not stated and decides.
    Not covered: terminals that are offset or removable, conductors bent once by the maker's diagram, and the far end
        of the panelboard.
    """
    runs, run = case.supply.runs, last_run(case)
    if run is None:
        if runs.stated:
            return not_applicable("no conductors lead to the panelboard", runs)
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the supply conductors, and so the space that they need at their terminals.",
            missing=runs.missing,
        )
    plain, relief = _compared(case, run, case.enclosure.terminal_faces_wall.claim, ()), _one_end_relieved(case, limits)
    if plain.judgement is Judgement.HOLDS or relief.fails:
        return plain
    relieved = _compared(
        case,
        run,
        Claim(Truth.NO, case.enclosure.terminal_faces_wall.inputs),
        (
            "The smaller table counts at one end of a panelboard of this rating: the other end must then have the "
            "space of the larger one.",
        ),
    )
    if relief.holds:
        return plain if relieved.judgement is Judgement.UNKNOWN else relieved
    if plain.judgement is Judgement.UNKNOWN or relieved.judgement is Judgement.FAILS:
        return plain
    return under(relief, plain, otherwise="")


def _compared(case: Case, run: Run, opposite_wall: Claim, cautions: tuple[str, ...]) -> Answer:
    needed = bending_space(run.size, _wires(case, run), opposite_wall)
    return at_least(
        Quantity(name="wire-bending space at the main terminals", number=case.enclosure.wire_bending_space_in),
        Quantity(name="space that the supply conductors need", number=needed),
        "in",
        Notes(
            remedy="use an enclosure or interior with more room at the main terminals, or smaller conductors in "
            "parallel; or show that the terminals are offset or made for this space",
            cautions=cautions,
            basis=Basis.COMPUTED,
        ),
    )


def _one_end_relieved(case: Case, limits: Limits) -> Claim:
    """Return the claim that the panelboard is small enough for the smaller table at one end."""
    panelboard = case.panelboard
    return all_claims(
        (
            within(panelboard.busbar_rating_a, limits.number("one_end_through_a")),
            within(panelboard.marked_maximum_poles, limits.number("one_end_devices")),
        )
    )


def _wires(case: Case, run: Run) -> Number:
    """Return the wires on a terminal: as stated, else one to as many as there are parallel sets."""
    stated = case.enclosure.wires_per_terminal
    if stated.stated:
        return stated
    most = min(run.sets.high, stated.high)
    one = reaches(run.sets, 2).fails
    return Number(stated.at, 1.0, most, 1.0 if one else None)
