"""The sets of occupancy that requirements speak of, told from what a proposal says it serves."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.facts import Claim, certain
from changeout.domain.proposal import Project

ONE_AND_TWO_FAMILY = ("one-family-dwelling", "two-family-dwelling")


def one_or_two_family(project: Project) -> Claim:
    """Return the claim that the building is a one- or two-family dwelling."""
    return project.occupancy.among(*ONE_AND_TWO_FAMILY)


def dwelling_unit(project: Project) -> Claim:
    """Return the claim that the equipment belongs to a dwelling unit.

    In an apartment house that is so where it serves one unit; equipment of the whole building or of its common area
    belongs to no unit. In a one- or two-family dwelling it is so unless a common area is stated.
    """
    house = one_or_two_family(project) & ~_said_common(project)
    return house | (project.occupancy.among("multifamily-dwelling") & project.serves.among("dwelling-unit"))


def exempt_unit(project: Project, exempt: Sequence[str], by_unit: Sequence[str]) -> Claim:
    """Return the claim that the equipment is exempt: of an *exempt* occupancy, or of one unit of a *by_unit* one."""
    return project.occupancy.among(*exempt) | (
        project.occupancy.among(*by_unit) & project.serves.among("dwelling-unit")
    )


def units_and_more(project: Project, by_unit: Sequence[str]) -> Claim:
    """Return the claim that the equipment may be of a whole building of a *by_unit* occupancy: no word parts it.

    Known not to be where it serves one unit, or the common area alone.
    """
    parted = certain(
        project.serves.value in {"dwelling-unit", "common-area"}, *((project.serves,) if project.serves.stated else ())
    )
    return project.occupancy.among(*by_unit) & ~parted


def service_supplies(project: Project, occupancies: Sequence[str]) -> Claim:
    """Return the claim that a service supplies units or rooms of *occupancies*: so unless a common area is stated."""
    return project.occupancy.among(*occupancies) & ~_said_common(project)


def feeder_supplies(project: Project, occupancies: Sequence[str]) -> Claim:
    """Return the claim that a feeder supplies units or rooms of one of *occupancies*.

    Where nobody has said what it serves, that is so in a one- or two-family dwelling, and unknown in any other: the
    feeder can be that of a common area.
    """
    return service_supplies(project, occupancies) & (
        one_or_two_family(project) | project.serves.among("whole-building", "dwelling-unit")
    )


def _said_common(project: Project) -> Claim:
    return certain(project.serves.value == "common-area", *((project.serves,) if project.serves.stated else ()))
