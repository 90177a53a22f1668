"""How many service disconnects there are, and how they are put together."""

from __future__ import annotations

from changeout.domain.facts import Claim, certain, fixed
from changeout.domain.findings import Advice, Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import (
    Notes,
    advise,
    amount,
    decide,
    exceeds,
    figure,
    spread,
    under,
    within,
    words,
)
from changeout.rules._registry import Limits, rule

_IN_ONE_PLACE = ("one-enclosure", "separate-sections")


@rule(
    "service-disconnect-count-and-grouping",
    group="service",
    about="/service/disconnects",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/role",
        "/service/disconnects",
        "/service/disconnects_grouping",
        "/service/disconnects_existing",
        "/work/scope",
    ),
    applies_to="service equipment",
    parameters={"max_disconnects": "number", "one_enclosure_allowed": "flag", "existing_exception": "flag"},
)
def service_disconnects(case: Case, limits: Limits) -> Answer:
    """There are no more service disconnects than allowed, put together in a way that the edition allows.

    Because: with several disconnects on one bus nothing in the enclosure is ever dead short of the utility.
    Passes: with one disconnect; with several up to the limit in separate enclosures, or in one enclosure where the
        edition allows that or keeps it for existing equipment whose enclosure stays.
    Fails: with more than the limit, or several in one enclosure where the edition does not allow it.
    Cannot tell: when the count, the grouping, or whether several disconnects in one enclosure are existing is not
        stated and decides. Separate sections of one panelboard's enclosure get advice: listing or barriers must show
        them.
    Not covered: whether the disconnects stand together in one location.
    """
    service = case.service
    most, count = limits.number("max_disconnects"), service.disconnects
    allowed = certain(limits.flag("one_enclosure_allowed"))
    kept = (
        certain(limits.flag("existing_exception"))
        & case.work.scope.among("interior-only")
        & service.disconnects_existing.claim
    )
    many = exceeds(count, 1)
    apart = allowed | service.disconnects_grouping.among("separate-enclosures") | kept
    if many.holds and not exceeds(count, most).holds and not apart.holds and _in_sections(case):
        answer = advise(
            "several service disconnects in separate sections of one enclosure: the listing of the equipment, or "
            "barriers between the sections, must show that they are separate",
            service.disconnects,
            service.disconnects_grouping,
            notes=Notes(remedy="submit the listing or a drawing that shows the sections", advice=Advice.READING),
        )
    else:
        answer = _counted(case, most, within(count, most) & (~many | apart), kept)
    return under(
        case.panelboard.role.among("service"),
        answer,
        otherwise="a feeder supplies the panelboard, which so has no service disconnects",
    )


def _in_sections(case: Case) -> bool:
    return case.service.disconnects_grouping.value == "separate-sections"


def _counted(case: Case, most: float, good: Claim, kept: Claim) -> Answer:
    count, grouping = case.service.disconnects, case.service.disconnects_grouping
    several = f"{spread(count, '')} service disconnects" if count.stated else "service disconnects of unknown number"
    found, required = (
        figure("service disconnects", count, ""),
        figure("service disconnects allowed", fixed(most), "", "<="),
    )
    if exceeds(count, most).holds:
        no = f"there are {several}, more than the {amount(most, '')} allowed"
        remedy = f"arrange the service with no more than {amount(most, '')} disconnects"
    else:
        no = f"there are {several} in one enclosure, which the edition does not allow for this work"
        remedy = "put each service disconnect into an enclosure of its own, or use a single main"
        if good.fails:
            found = words("arrangement of the service disconnects", grouping.value or "")
            required = words("arrangement allowed", "separate-enclosures", "=")
    relied = kept.holds and grouping.value in _IN_ONE_PLACE and exceeds(count, 1).holds
    return decide(
        good,
        yes=f"there {'is one service disconnect' if not exceeds(count, 1).holds else 'are ' + several}, "
        "in an arrangement that is allowed",
        no=no,
        unknown="whether the number of service disconnects and their arrangement are allowed cannot be told from what "
        "is stated",
        found=found,
        required=required,
        notes=Notes(
            remedy=remedy,
            cautions=(
                "The disconnects are kept as existing equipment because its enclosure stays; whether a new interior "
                "leaves it existing is for the authority having jurisdiction.",
            )
            if relied
            else (),
        ),
    )
