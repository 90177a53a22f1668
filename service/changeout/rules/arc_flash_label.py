"""The full arc-flash label of larger equipment."""

from __future__ import annotations

from changeout.domain.facts import any_claim
from changeout.domain.findings import Answer, Stage
from changeout.domain.occupancy import dwelling_unit
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, not_applicable, reaches, under
from changeout.rules._registry import Limits, rule
from changeout.rules._roles import has_role


@rule(
    "arc-flash-label",
    group="markings",
    about="/service/arc_flash_label",
    stage=Stage.INSPECTION,
    needs=(
        "/project/occupancy",
        "/project/serves",
        "/panelboard/role",
        "/panelboard/main/rating",
        "/panelboard/busbar_rating",
        "/service/arc_flash_label",
    ),
    applies_to="equipment outside dwelling units, of the roles and from the rating on that the edition names",
    parameters={"min_a": "number", "roles": "words", "content": "words"},
)
def arc_flash_label(case: Case, limits: Limits) -> Answer:
    """Equipment rated at or above the edition's threshold, outside dwelling units, has the full arc-flash label.

    Because: who opens large equipment live needs to know how far an arc reaches and what to wear.
    Passes: when the label is declared to be on the finished work.
    Fails: when the equipment is rated at or above the threshold and declared without the label.
    Cannot tell: when the label is not stated, or its rating, role or what it serves leaves open whether it needs one.
    Not covered: whether the figures on the label are right. The equipment's rating is the greater of busbar and main.
    """
    unit, role = dwelling_unit(case.project), has_role(case, limits.words("roles"))
    if unit.holds:
        return not_applicable("the equipment of a dwelling unit needs no arc-flash label", unit)
    if role.fails:
        return not_applicable("this edition asks for the full label on service equipment only", role)
    main = case.panelboard.main.rating_a
    ratings = (case.panelboard.busbar_rating_a, *((main,) if main.stated else ()))
    least = limits.number("min_a")
    answer = decide(
        case.service.arc_flash_label.claim,
        yes="the equipment has the full arc-flash label",
        no="the equipment has no full arc-flash label, and its rating calls for one",
        notes=Notes(remedy=f"put on a permanent label that gives: {', '.join(limits.words('content'))}"),
    )
    return under(
        ~unit & role & any_claim(reaches(rating, least) for rating in ratings),
        answer,
        otherwise=f"the equipment is rated below {amount(least, 'A')}; the general arc-flash warning is another rule's",
    )
