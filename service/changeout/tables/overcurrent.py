"""Ratings of overcurrent devices, panelboards and circuits, and the limits of small conductors."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass

from changeout.tables.load import EDITIONS, TableError, table


@functools.cache
def standard_ratings(edition: str, device: str = "breaker") -> tuple[float, ...]:
    """Return the standard ratings of a *device* (breaker or fuse) in amperes, least first.

    Raises:
        TableError: if there is no such edition or device.

    Source: 240.6(A), standard_ratings.toml.
    """
    _known(edition)
    found = [
        row.number("rating_a")
        for row in table("standard_ratings")
        if edition in row.texts("editions") and device in row.texts("devices")
    ]
    if not found:
        raise TableError(f"standard_ratings.toml: no device {device}")
    return tuple(sorted(set(found)))


@functools.cache
def lasting_standard_ratings(device: str = "breaker") -> tuple[float, ...]:
    """Return the ratings of a *device* that are standard in every edition, in amperes, least first.

    Raises:
        TableError: if there is no such device.

    Source: 240.6(A), standard_ratings.toml.
    """
    in_each = [set(standard_ratings(edition, device)) for edition in EDITIONS]
    return tuple(sorted(set.intersection(*in_each)))


@functools.cache
def small_conductor_limits(edition: str) -> Mapping[tuple[str, str], float]:
    """Return the greatest device for each small conductor in amperes, by size and material.

    Materials are ``copper``, ``aluminum`` and ``copper-clad aluminum``.

    Raises:
        TableError: if there is no such edition.

    Source: 240.4(D), small_conductor.toml.
    """
    _known(edition)
    return {
        (row.text("size"), material): row.number("device_through_a")
        for row in table("small_conductor")
        if edition in row.texts("editions")
        for material in row.texts("materials")
    }


def common_panelboard_ratings_a() -> tuple[float, ...]:
    """Return ratings in amperes that panelboards are commonly sold with, least first.

    Source: common practice, no source, circuit_ratings.toml.
    """
    return tuple(row.number("rating_a") for row in table("circuit_ratings").parts["panelboard_ratings"])


def receptacle_ratings_a(edition: str, circuit_a: float) -> tuple[float, ...] | None:
    """Return the ratings in amperes that receptacles on a branch circuit may have, or None where no row is printed.

    Raises:
        TableError: if there is no such edition.

    Source: Table 210.21(B)(3), circuit_ratings.toml.
    """
    _known(edition)
    for row in table("circuit_ratings"):
        if row.number("circuit_a") == circuit_a and edition in row.texts("editions"):
            return row.numbers("receptacle_a")
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class BusbarFactors:
    """The percents of the sums that are permitted on a busbar with other sources."""

    output_percent: float
    busbar_percent: float


def busbar_factors(rule: str) -> BusbarFactors:
    """Return the percents of one permitted sum: ``sum``, ``120-percent`` or ``center-fed``.

    Raises:
        TableError: if there is no such sum.

    Source: 705.12(B), busbar_sources.toml.
    """
    for row in table("busbar_sources"):
        if row.text("rule") == rule:
            return BusbarFactors(
                output_percent=row.number("output_percent"), busbar_percent=row.number("busbar_percent")
            )
    raise TableError(f"busbar_sources.toml: no rule {rule}")


def _known(edition: str) -> None:
    if edition not in EDITIONS:
        raise TableError(f"there is no edition {edition}")
