"""Where physics or the trade says that a table must rise or fall, it does."""

import itertools
import math

import pytest

from changeout.tables.ampacity import COLUMNS_DEGC, ambient_factor, ampacity_a, conductor_count_factor, smallest_size
from changeout.tables.conductors import MATERIALS, RACEWAYS, SIZES, ac_impedance, area_kcmil, size_with_area_at_least
from changeout.tables.enclosures import enclosure_types, is_for_outdoors, keeps_out, types_that_are
from changeout.tables.grounding import bonding_jumper_size, electrode_conductor_size, equipment_grounding_size
from changeout.tables.load import EDITIONS, table
from changeout.tables.loads import factors
from changeout.tables.motors import full_load_current_a
from changeout.tables.overcurrent import standard_ratings
from changeout.tables.raceway_fill import conduit_area_40_percent_in2, conduit_area_in2, trade_sizes
from changeout.tables.space import opposite_bending_space_in, side_bending_space_in, working_space_depth_in


def rises(values, strictly=False):
    pairs = list(itertools.pairwise(values))
    assert pairs
    return all(a < b if strictly else a <= b for a, b in pairs)


def test_sizes_are_in_order_of_area():
    assert rises([area_kcmil(s) for s in SIZES], strictly=True)
    assert all(size_with_area_at_least(area_kcmil(s)) == s for s in SIZES)


@pytest.mark.parametrize(("material", "column"), list(itertools.product(MATERIALS, COLUMNS_DEGC)))
def test_a_bigger_conductor_carries_more(material, column):
    found = [a for s in SIZES if (a := ampacity_a(s, material, column)) is not None]
    assert len(found) == {"copper": 28, "aluminum": 27}[material]
    assert rises(found, strictly=True)
    assert all(smallest_size(ampacity_a(s, material, column) or 0, material, column) == s for s in SIZES[1:])


@pytest.mark.parametrize("material", MATERIALS)
def test_hotter_insulation_and_copper_carry_more(material):
    for size in SIZES[1:]:
        assert rises([ampacity_a(size, material, c) for c in COLUMNS_DEGC], strictly=True)
        assert all(ampacity_a(size, "copper", c) > ampacity_a(size, "aluminum", c) for c in COLUMNS_DEGC)


@pytest.mark.parametrize("column", COLUMNS_DEGC)
def test_a_hotter_place_never_raises_the_factor(column):
    found = [ambient_factor(t / 2, column) or 0.0 for t in range(-40, 200)]
    assert rises(found[::-1])
    assert ambient_factor(30, column) == 1.0


@pytest.mark.parametrize("column", COLUMNS_DEGC)
def test_ambient_factors_follow_the_heat_equation_at_the_end_of_each_band(column):
    # sqrt((Tc - Ta) / (Tc - 30)), the equation beside the table, rounded to two decimals
    for row in table("ambient_correction"):
        end = row.number("through_degc")
        factor = row.number_or_none(f"factor_{column}c")
        if factor is not None:
            assert factor == pytest.approx(math.sqrt((column - end) / (column - 30)), abs=0.0051)


def test_more_conductors_never_raise_the_factor():
    assert rises([conductor_count_factor(n) for n in range(1, 120)][::-1])


@pytest.mark.parametrize(("material", "raceway"), list(itertools.product(MATERIALS, RACEWAYS)))
def test_a_bigger_conductor_resists_less(material, raceway):
    found = [z for s in SIZES if (z := ac_impedance(s, material, raceway)) is not None]
    assert len(found) == {"copper": 21, "aluminum": 20}[material]
    assert rises([r for r, _ in found][::-1], strictly=True)
    assert all(0.03 < x < 0.08 for _, x in found)


def test_steel_has_more_reactance():
    for size in SIZES:
        steel, other = ac_impedance(size, "copper", "steel"), ac_impedance(size, "copper", "nonmetallic")
        if steel is not None and other is not None:
            assert steel[1] > other[1]


def test_direct_current_resistance_follows_the_area():
    # constant resistivity at 75 degC: about 12.9 (copper) and 21.2 (aluminum) ohm circular mil per foot
    for row in table("conductor_properties"):
        mils = row.number("circular_mils")
        assert row.number("copper_uncoated") * mils / 1000 == pytest.approx(12.89, rel=0.015)
        assert row.number("aluminum") * mils / 1000 == pytest.approx(21.2, rel=0.015)
        assert row.number("copper_coated") >= row.number("copper_uncoated")


def test_conduits_are_circles_and_grow():
    for row in table("conduit_area"):
        circle = math.pi / 4 * row.number("inside_diameter_in") ** 2
        assert row.number("area_in2") == pytest.approx(circle, abs=0.006)
        assert row.number("area_40_percent_in2") == pytest.approx(0.4 * row.number("area_in2"), abs=0.001)
    for conduit in ("EMT", "RMC", "PVC-40", "PVC-80"):
        sizes = trade_sizes(conduit)
        assert rises([conduit_area_in2(conduit, s) for s in sizes], strictly=True)
        assert rises([conduit_area_40_percent_in2(conduit, s) for s in sizes], strictly=True)


def test_insulated_conductors_grow():
    for column in ("thhn_in2", "xhhw_in2"):
        assert rises([row.number(column) for row in table("conductor_area")], strictly=True)


def test_dwelling_sizes_are_the_smallest_of_83_percent():
    for row in table("dwelling_service"):
        for material in MATERIALS:
            assert smallest_size(0.83 * row.number("rating_a"), material, 75) == row.text(material)


@pytest.mark.parametrize("material", MATERIALS)
def test_grounding_conductors_grow_with_what_they_serve(material):
    supplies = [area_kcmil(s) for s in SIZES] + [2500.0]
    for supply in MATERIALS:
        assert rises([area_kcmil(electrode_conductor_size(a, supply, material)) for a in supplies])
        jumpers = [j for a in supplies if (j := bonding_jumper_size(a, supply, material)) is not None]
        assert rises([area_kcmil(j) for j in jumpers])
    devices = [15, 20, 30, 60, 100, 200, 400, 800, 1200, 2000, 4000, 6000]
    assert rises([area_kcmil(equipment_grounding_size(d, material)) for d in devices])


def test_aluminum_is_never_smaller_than_copper():
    for device in (15, 20, 60, 100, 200, 400, 1000, 6000):
        copper, aluminum = (area_kcmil(equipment_grounding_size(device, m)) for m in MATERIALS)
        assert aluminum > copper


def test_bending_space_grows_with_size_and_wires():
    for find, most in ((side_bending_space_in, 5), (opposite_bending_space_in, 4)):
        for wires in range(1, most + 1):
            assert rises([v for s in SIZES if (v := find(s, wires)) is not None])
        for size in SIZES:
            found = [v for n in range(1, most + 1) if (v := find(size, n)) is not None]
            assert len(found) < 2 or rises(found)


def test_working_space_grows_with_voltage_and_condition():
    for condition in (1, 2, 3):
        assert rises([working_space_depth_in(v, condition) for v in (0, 120, 150, 150.5, 277, 480, 600, 1000)])
    for volts in (120, 277, 1000):
        assert rises([working_space_depth_in(volts, c) for c in (1, 2, 3)])


def test_standard_ratings_rise_and_devices_share_them():
    for edition in EDITIONS:
        breakers, fuses = standard_ratings(edition), standard_ratings(edition, "fuse")
        assert rises(breakers, strictly=True)
        assert set(breakers) < set(fuses)


def test_demand_falls_with_the_number_of_appliances():
    ours = factors("2023")
    assert rises([ours.dryers(n).percent_for(n) for n in range(1, 60)][::-1])
    assert rises([ours.ranges(n).column_a_percent for n in range(1, 70)][::-1])
    assert rises([ours.ranges(n).column_b_percent for n in range(1, 70)][::-1])
    assert rises([ours.ranges(n).column_c_kw_for(n) for n in range(1, 70)], strictly=True)


def test_bigger_motors_draw_more():
    for phases, volts in itertools.product((1, 3), (120, 208, 240)):
        found = [a for hp in (0.5, 1, 2, 3, 5, 7.5, 10, 50, 200) if (a := full_load_current_a(hp, phases, volts))]
        assert rises(found, strictly=True)
    assert full_load_current_a(1.2, 1, 240) == full_load_current_a(1.5, 1, 240)


def test_enclosures_that_keep_rain_out_are_for_outdoors():
    for one in enclosure_types():
        assert ("rain" in keeps_out(one)) is is_for_outdoors(one), one
    assert set(types_that_are("raintight")) | set(types_that_are("rainproof")) == {
        t for t in enclosure_types() if "rain" in keeps_out(t)
    }
    assert {t for t in enclosure_types() if "corrosion" in keeps_out(t)} == {"3X", "3RX", "3SX", "4X", "6P"}
    assert set(types_that_are("driptight")) == {
        t for t in enclosure_types() if "dripping" in keeps_out(t) and not is_for_outdoors(t)
    }
