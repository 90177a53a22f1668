"""How the line side is made dead for the work."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, exceeds, spread
from changeout.rules._registry import Limits, rule


@rule(
    "utility-side-and-isolation-plan",
    group="process",
    about="/work/isolation",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/role",
        "/work/isolation",
        "/panelboard/busbar_rating",
        "/panelboard/main/rating",
        "/former_panelboard/busbar_rating",
        "/former_panelboard/main_rating",
    ),
    applies_to="every proposal",
)
def isolation_plan(case: Case, _limits: Limits) -> Answer:
    """It is arranged how the line side is made dead during the work.

    Because: the line side of a service panelboard stays live when its main is off; only the utility or an upstream
        disconnect makes it dead.
    Passes: when isolation by the utility or by an upstream disconnect is stated.
    Fails: when no isolation is stated to be planned.
    Cannot tell: when nothing is said of it.
    Not covered: who pulls and reseals the meter; that is the utility's to say.
    """
    isolation, role = case.work.isolation, case.panelboard.role
    cautions = (
        ("The line side of a service panelboard stays live with its main off, and a meter seal is the utility's.",)
        if role.among("service").holds
        else ()
    )
    return decide(
        isolation.among("utility-disconnect", "upstream-disconnect"),
        yes=f"the line side is to be made dead by {_means(isolation.value)}",
        no="no way of making the line side dead during the work is planned",
        unknown="not stated: how the line side is made dead during the work, and who pulls and reseals the meter",
        notes=Notes(
            remedy="agree with the utility, or name the upstream disconnect that will be locked out",
            cautions=(*cautions, *_larger(case)),
            rests_on=(role,) if role.stated else (),
        ),
    )


def _larger(case: Case) -> tuple[str, ...]:
    """Return a caution where the work makes the panelboard larger than the former one was."""
    now, former = case.panelboard, case.proposal.former_panelboard
    for what, new, old in (
        ("main", now.main.rating_a, former.main_rating_a),
        ("busbar", now.busbar_rating_a, former.busbar_rating_a),
    ):
        if new.stated and old.stated and exceeds(new, old).holds:
            return (
                f"The {what} becomes larger, from {spread(old, 'A')} to {spread(new, 'A')}: ask the utility whether "
                "its conductors, meter and transformer are large enough, and what fault current there is then.",
            )
    return ()


def _means(word: str | None) -> str:
    return "the utility" if word == "utility-disconnect" else "an upstream disconnect"
