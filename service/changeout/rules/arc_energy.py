"""A means to reduce the energy of an arc behind a large main."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, certain
from changeout.domain.findings import Answer, Stage
from changeout.domain.proposal import MainDevice
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, reaches, spread, under
from changeout.rules._registry import Limits, rule


@rule(
    "arc-energy-reduction",
    group="busbar-and-protection",
    about="/panelboard/main",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/main/kind",
        "/panelboard/main/rating",
        "/panelboard/main/arc_energy_reduction",
        "/panelboard/second_main/kind",
        "/panelboard/second_main/rating",
        "/panelboard/second_main/arc_energy_reduction",
        "/project/applied_on",
    ),
    applies_to="a main of the edition's rating or more",
    parameters={"min_a": "number", "fuses_from": "day?"},
)
def arc_energy(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """A large main has a means to reduce the energy of an arc behind it.

    Because: a large main that waits before it trips feeds an arc long enough to burn whoever stands before it.
    Passes: when the means is declared there.
    Fails: when it is declared not there, of a breaker of the edition's rating or more; of fuses from the day that
        the edition names for them.
    Cannot tell: when the means, the rating, the kind of main, or the day of application that decides for fuses is not
        stated.
    Not covered: the means itself, and devices ahead of the panelboard. Of a breaker the highest setting it can be
        adjusted to counts, which must be the rating that is stated.
    """
    first = _main(case, limits, case.panelboard.main)
    second = case.panelboard.second_main
    return first if second is None else (first, _main(case, limits, second))


def _main(case: Case, limits: Limits, main: MainDevice) -> Answer:
    least = limits.number("min_a")
    asked = main.kind.among("breaker") | (main.kind.among("fusible") & _fuses_asked(case, limits))
    answer = decide(
        main.arc_energy_reduction.claim,
        yes="a means to reduce the energy of an arc is declared there",
        no=f"the main ({spread(main.rating_a, 'A')}) is declared without a means to reduce the energy of an arc, which "
        f"a main of {amount(least, 'A')} or more must have",
        unknown="not stated: whether the main has a means to reduce the energy of an arc",
        notes=Notes(
            subject=main.at,
            remedy="provide a means such as zone-selective interlocking, a maintenance switch or a fast trip, and its "
            "documents",
            cautions=("Where the means is and how it is set must be documented for those who work on the equipment.",),
        ),
    )
    if main.kind.among("lugs").holds:
        otherwise = "the panelboard has main lugs, no device"
    elif reaches(main.rating_a, least).fails:
        otherwise = f"the main is rated below {amount(least, 'A')}"
    else:
        otherwise = "the edition asks this of fuses from a later day only"
    return under(reaches(main.rating_a, least) & asked, answer, otherwise=otherwise)


def _fuses_asked(case: Case, limits: Limits) -> Claim:
    """Return the claim that the edition asks this of fuses on the day of application."""
    since, applied = limits.day("fuses_from"), case.project.applied_on
    if since is None:
        return Claim(Truth.YES)
    if applied.value is None:
        return Claim(Truth.UNKNOWN, applied.inputs, applied.missing)
    return certain(applied.value >= since, applied)
