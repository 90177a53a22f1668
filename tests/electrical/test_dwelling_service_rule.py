"""The 83 % rule of dwelling services: 310.12 (310.15(B)(7) in 2017)."""

import dataclasses

import pytest

from changeout.domain.facts import fixed
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.electrical.bounds import within
from changeout.electrical.dwelling_service import (
    DwellingServiceLimits,
    may_use_dwelling_service_rule,
    required_ampacity,
    smallest_service_size,
)
from changeout.tables.ampacity import dwelling_service_size
from changeout.tables.conductors import MATERIALS
from changeout.tables.load import table
from electrical.conductor_facts import choice, flag, number

LIMITS = DwellingServiceLimits(
    fraction=0.83, least_a=100.0, greatest_a=400.0, systems=("120/240V-1ph-3w", "120/208V-1ph-3w")
)


@dataclasses.dataclass
class Facts:
    """The few facts that the rule reads, under the names of a proposal."""

    occupancy: object
    serves: object
    system: object
    carries_entire_dwelling_load: object

    @property
    def project(self):
        return self

    @property
    def supply(self):
        return self


def facts(occupancy="one-family-dwelling", serves=None, system="120/240V-1ph-3w", entire=True):
    return Facts(
        choice("/project/occupancy", occupancy),
        choice("/project/serves", serves),
        choice("/supply/system", system),
        flag("/supply/carries_entire_dwelling_load", entire),
    )


@pytest.mark.parametrize(
    ("given", "rating", "expected", "missing"),
    [
        (facts(), fixed(200), Truth.YES, ()),
        (facts(), fixed(100), Truth.YES, ()),
        (facts(), fixed(400), Truth.YES, ()),
        (facts(), fixed(90), Truth.NO, ()),
        (facts(), fixed(401), Truth.NO, ()),
        (facts(entire=None), fixed(200), Truth.UNKNOWN, ("/supply/carries_entire_dwelling_load",)),
        (facts(entire=False), fixed(200), Truth.NO, ()),
        (facts(system="208Y/120V-3ph-4w"), fixed(200), Truth.NO, ()),
        (facts(system=None), fixed(200), Truth.UNKNOWN, ("/supply/system",)),
        (facts(occupancy="commercial"), fixed(200), Truth.NO, ()),
        (facts(occupancy="multifamily-dwelling", serves="dwelling-unit"), fixed(200), Truth.YES, ()),
        (facts(occupancy="multifamily-dwelling", serves="whole-building"), fixed(200), Truth.NO, ()),
        (facts(occupancy="two-family-dwelling", serves=None), fixed(200), Truth.UNKNOWN, ("/project/serves",)),
        (facts(), number("/panelboard/main/rating", None, 1, 6000), Truth.UNKNOWN, ("/panelboard/main/rating",)),
    ],
)
def test_where_the_rule_may_be_used(given, rating, expected, missing):
    found = may_use_dwelling_service_rule(given, rating, LIMITS)
    assert found.truth is expected
    assert found.missing == missing


def test_required_ampacity():
    assert required_ampacity(fixed(200), 0.83).low == pytest.approx(166)
    found = required_ampacity(number("/r", None, 100, 400), 0.83)
    assert (found.interval, found.missing) == (Interval(83, 332), ("/r",))


def test_sizes_without_correction_are_the_printed_ones():
    for row in table("dwelling_service"):
        rating = row.number("rating_a")
        for material in MATERIALS:
            printed = dwelling_service_size(rating, material)
            assert smallest_service_size(0.83 * rating, material, 75, 30, 75) == printed
            # hotter insulation does not help: the terminals are the limit
            assert smallest_service_size(0.83 * rating, material, 90, 30, 75) == printed


def test_a_size_that_carries_exactly_what_is_asked_is_enough():
    # Table 310.16: 4/0 aluminum carries 180 A at 75 degC
    assert smallest_service_size(180, "aluminum", 75, 30, 75) == "4/0 AWG"
    assert smallest_service_size(180.01, "aluminum", 75, 30, 75) == "250 kcmil"


def test_no_size_beyond_the_table():
    assert smallest_service_size(2000, "copper", 75, 30, 75) is None


def test_within():
    assert within(fixed(100), 100, 400).holds
    assert within(fixed(99.9), 100, 400).fails
    assert within(number("/r", None, 50, 150), 100, 400).missing == ("/r",)
