"""Sizes of grounding and bonding conductors: Tables 250.66, 250.102(C)(1), 250.122. Areas from Chapter 9 Table 8."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from changeout.domain.facts import Listed, fixed
from changeout.domain.interval import Interval
from changeout.electrical.grounding import (
    Conductor,
    Upsizing,
    bonding_jumper,
    bonding_jumper_kcmil,
    conductor_area,
    electrode_conductor,
    electrode_conductor_kcmil,
    equipment_grounding,
    equipment_grounding_kcmil,
    equivalent_area,
    raised_kcmil,
    supply_conductors,
)
from changeout.electrical.sizes import sizes_without_runs
from changeout.tables.conductors import MATERIALS, SIZES, area_kcmil
from electrical.conductor_facts import choice, choices, flag, number, run, size

ELECTRODES = (
    "ground-rod",
    "second-ground-rod",
    "water-pipe",
    "concrete-encased",
    "ground-ring",
    "structural-metal",
    "plate",
)


def area(name):
    return Interval.exactly(area_kcmil(name))


@pytest.mark.parametrize(
    ("supply", "material", "electrodes", "expected"),
    [
        (Conductor(size="4/0 AWG", material="aluminum"), "copper", ("water-pipe",), area("4 AWG")),
        (Conductor(size="4/0 AWG", material="aluminum"), "copper", ("ground-rod", "second-ground-rod"), area("6 AWG")),
        (Conductor(size="4/0 AWG", material="aluminum"), "aluminum", ("plate",), area("4 AWG")),
        (Conductor(size="350 kcmil", material="copper", sets=2), "copper", ("concrete-encased",), area("4 AWG")),
        (
            Conductor(size="350 kcmil", material="copper", sets=2),
            "copper",
            ("ground-rod", "concrete-encased"),
            area("4 AWG"),
        ),
        (
            Conductor(size="350 kcmil", material="copper", sets=2),
            "copper",
            ("ground-rod", "water-pipe"),
            area("2/0 AWG"),
        ),
        (Conductor(size="350 kcmil", material="copper", sets=2), "aluminum", ("concrete-encased",), area("4/0 AWG")),
        (Conductor(size="350 kcmil", material="copper", sets=2), "copper", ("structural-metal",), area("2/0 AWG")),
        (Conductor(size="350 kcmil", material="copper", sets=2), "copper", (), area("2/0 AWG")),
        # the size of the ring is not known: at least 2 AWG, at most what the table asks
        (Conductor(size="350 kcmil", material="copper", sets=2), "copper", ("ground-ring",), Interval(66.36, 133.1)),
        (Conductor(size="2 AWG", material="copper"), "copper", ("ground-rod",), area("8 AWG")),  # table below the cap
        (Conductor(size="2 AWG", material="copper"), "copper", ("ground-ring",), area("8 AWG")),
        (Conductor(size="500 kcmil", material="copper", sets=3), "copper", ("water-pipe",), area("3/0 AWG")),
    ],
)
def test_electrode_conductor(supply, material, electrodes, expected):
    assert electrode_conductor_kcmil(supply, material, electrodes) == expected


def test_electrode_conductor_of_a_run():
    facts = run(size="2/0 AWG", material="copper", sets=1)
    found = electrode_conductor(facts, choice("/gec/material", "copper"), choices("/electrodes", "water-pipe"))
    assert found.interval == area("4 AWG")
    assert found.missing == ()
    assert "/electrodes" in found.inputs
    rods = electrode_conductor(facts, choice("/gec/material", "copper"), choices("/electrodes", given=False))
    assert rods.interval == Interval(area_kcmil("6 AWG"), area_kcmil("4 AWG"))
    assert rods.missing == ("/electrodes",)
    nothing = electrode_conductor(run(), choice("/gec/material"), choices("/electrodes", given=False))
    assert nothing.interval == Interval(area_kcmil("8 AWG"), area_kcmil("250 kcmil"))
    assert set(nothing.missing) == {"/supply/runs/0/size", "/supply/runs/0/material", "/gec/material", "/electrodes"}


@pytest.mark.parametrize(
    ("supply", "material", "expected"),
    [
        (Conductor(size="250 kcmil", material="copper"), "copper", area("2 AWG")),
        (Conductor(size="250 kcmil", material="copper", sets=3), "copper", area("2/0 AWG")),
        (Conductor(size="750 kcmil", material="aluminum", sets=3), "aluminum", Interval.exactly(281.25)),
        # aluminum 750 kcmil carries 385 A at 75 degC; 600 kcmil copper carries 420 A: 0.125 x 3 x 600
        (Conductor(size="750 kcmil", material="aluminum", sets=3), "copper", Interval.exactly(225.0)),
        # copper 500 kcmil carries 380 A; 750 kcmil aluminum carries 385 A: 0.125 x 3 x 750
        (Conductor(size="500 kcmil", material="copper", sets=3), "aluminum", Interval.exactly(281.25)),
        (Conductor(size="2000 kcmil", material="copper"), "copper", Interval.exactly(250.0)),
        # no aluminum conductor of the table carries 665 or 590 A: more than its greatest, no upper bound
        (Conductor(size="2000 kcmil", material="copper"), "aluminum", Interval(250.0, math.inf)),
        (Conductor(size="1250 kcmil", material="copper"), "aluminum", Interval(250.0, math.inf)),
        # no aluminum of 14 AWG is printed, so nothing is known of its equal in copper: at least the table's last size
        (Conductor(size="14 AWG", material="aluminum", sets=500), "copper", Interval(133.1, math.inf)),
    ],
)
def test_bonding_jumper(supply, material, expected):
    assert bonding_jumper_kcmil(supply, material) == expected


def test_bonding_jumper_above_the_table_by_a_part_of_its_own():
    # three 500 kcmil: 15 % of 1,500 kcmil where a ruleset asks for that; the table's 12.5 % are 187.5 kcmil
    supply = Conductor(size="500 kcmil", material="copper", sets=3)
    assert bonding_jumper_kcmil(supply, "copper", 0.15) == Interval.exactly(225.0)
    assert bonding_jumper_kcmil(supply, "copper") == Interval.exactly(187.5)


def test_bonding_jumper_of_a_run():
    found = bonding_jumper(run(size="4/0 AWG", material="aluminum"), choice("/jumper/material"))
    assert found.interval == Interval(area_kcmil("4 AWG"), area_kcmil("2 AWG"))
    assert found.missing == ("/jumper/material",)


@settings(deadline=None)
@given(
    st.sampled_from(SIZES),
    st.sampled_from(SIZES),
    st.sampled_from(MATERIALS),
    st.sampled_from(MATERIALS),
    st.integers(1, 6),
)
def test_bigger_supply_conductors_never_ask_for_less(one, other, supply, material, sets):
    small, big = (Conductor(size=s, material=supply, sets=sets) for s in sorted((one, other), key=SIZES.index))
    found = [electrode_conductor_kcmil(c, material, ("water-pipe",)) for c in (small, big)]
    assert found[0].high <= found[1].low
    jumpers = [bonding_jumper_kcmil(c, material) for c in (small, big)]
    assert jumpers[0].low <= jumpers[1].low
    assert jumpers[0].high <= jumpers[1].high


@settings(deadline=None)
@given(
    st.sampled_from(SIZES),
    st.sampled_from(MATERIALS),
    st.sets(st.sampled_from(ELECTRODES)),
    st.sampled_from(ELECTRODES),
)
def test_another_electrode_never_asks_for_less(named, material, some, another):
    supply = Conductor(size=named, material="copper", sets=2)
    if some:
        few = electrode_conductor_kcmil(supply, material, tuple(sorted(some)))
        more = electrode_conductor_kcmil(supply, material, tuple(sorted(some | {another})))
        assert few.low <= more.low
        assert few.high <= more.high


@settings(deadline=None)
@given(st.sampled_from(SIZES), st.sampled_from(MATERIALS), st.integers(1, 12))
def test_the_bounds_of_an_open_run_hold_every_run(named, supply, sets):
    material, electrodes = choice("/m", "copper"), choices("/e", "water-pipe")
    open_run = run(sets=None)
    closed = run(size=named, material=supply, sets=sets)
    assert electrode_conductor(open_run, material, electrodes).interval.contains(
        electrode_conductor(closed, material, electrodes).low
    )
    assert bonding_jumper(open_run, material).interval.contains(bonding_jumper(closed, material).low)
    assert equivalent_area(open_run).interval.contains(equivalent_area(closed).low)


def test_area_of_conductors():
    assert conductor_area(size("/s", "4 AWG")).interval == area("4 AWG")
    assert conductor_area(size("/s")).interval == Interval(4.11, 2000.0)
    assert equivalent_area(run(size="250 kcmil", sets=3)).interval.value == 750.0


UNCHANGED = Upsizing(done=flag("/u", value=False), original=size("/o"))


@pytest.mark.parametrize(
    ("device", "material", "upsizing", "supply", "expected"),
    [
        (200, "copper", UNCHANGED, "3/0 AWG", area("6 AWG")),
        (200, "aluminum", UNCHANGED, "3/0 AWG", area("4 AWG")),
        (200, None, UNCHANGED, "3/0 AWG", Interval(26.24, 41.74)),
        # 250 raised to 350: 1.4 x 41 740
        (
            300,
            "copper",
            Upsizing(done=flag("/u", value=True), original=size("/o", "250 kcmil")),
            "350 kcmil",
            Interval.exactly(58.436),
        ),
        # from which size is not said: up to the circuit conductors themselves
        (
            300,
            "copper",
            Upsizing(done=flag("/u", value=True), original=size("/o")),
            "350 kcmil",
            Interval(41.74, 350.0),
        ),
        (300, "copper", Upsizing(done=flag("/u", None), original=size("/o")), "350 kcmil", Interval(41.74, 350.0)),
        # never more than the circuit conductors: table 10 AWG, conductors 12 AWG
        (30, "copper", UNCHANGED, "12 AWG", area("12 AWG")),
        # of another material they are no measure
        (30, "aluminum", UNCHANGED, "12 AWG", area("8 AWG")),
    ],
)
def test_equipment_grounding(device, material, upsizing, supply, expected):
    facts = run(size=supply, material="copper", sets=1)
    found = equipment_grounding(facts, fixed(device), choice("/egc/material", material), upsizing)
    assert found.interval.low == pytest.approx(expected.low)
    assert found.interval.high == pytest.approx(expected.high)
    assert (found.missing == ()) is expected.is_point


def test_equipment_grounding_with_an_open_device():
    facts = run(size="4/0 AWG", material="copper", sets=1)
    device = number("/supply/overcurrent_device/rating", None, 1, 10000)
    found = equipment_grounding(facts, device, choice("/egc/material", "copper"), UNCHANGED)
    assert found.interval == Interval(area_kcmil("14 AWG"), area_kcmil("4/0 AWG"))
    assert "/supply/overcurrent_device/rating" in found.missing
    assert equipment_grounding_kcmil(6001, "copper") == math.inf


def test_parallel_sets_are_raised_all_alike():
    # two sets of 250 raised to two of 350: 700 / 500 = 1.4, times the 41 740 of 4 AWG for a device of 300 A
    facts = run(size="350 kcmil", material="copper", sets=2)
    upsizing = Upsizing(done=flag("/u", value=True), original=size("/o", "250 kcmil"))
    found = equipment_grounding(facts, fixed(300), choice("/egc/material", "copper"), upsizing)
    assert found.interval.value == pytest.approx(58.436)


def test_conductors_that_nobody_stated_are_of_any_size_and_of_one_to_twenty_sets():
    found = supply_conductors(Listed("/supply/runs", (), given=False))
    assert (found.sets.low, found.sets.high, found.sets.stated) == (1.0, 20.0, False)
    assert (found.size.value, found.material.value) == (None, None)
    last = run(at="/supply/runs/1", size="1 AWG")
    assert supply_conductors(Listed("/supply/runs", (run(), last), given=True)) is last


def test_raising_to_the_same_size_keeps_the_very_area():
    # 12 raised to 6 with a 12 AWG base: 26 240 circular mils, a 6 AWG and nothing larger
    assert raised_kcmil(area_kcmil("12 AWG"), area_kcmil("6 AWG"), area_kcmil("12 AWG")) == area_kcmil("6 AWG")
    assert raised_kcmil(10.38, 10.0, 20.0) == 10.38


def test_without_conductors_nothing_is_sized():
    found = sizes_without_runs(Listed("/supply/runs", (), given=False))
    assert found.id == "conductor-sizes"
    assert (found.result.low, found.result.high) == (0.0, math.inf)
    assert found.result.missing == ("/supply/runs",)
