"""The files of the tables: each row well formed, each value with an origin, and a loader that names what is wrong."""

import pathlib
import re

import pytest

from changeout.tables import (
    ampacity,
    conductors,
    enclosures,
    grounding,
    load,
    loads,
    motors,
    overcurrent,
    raceway_fill,
    space,
)
from changeout.tables.load import EDITIONS, MARKS, Row, TableError, read_table, section, table, tables
from changeout.tables.shapes import SHAPES

DATA = pathlib.Path(conductors.__file__).parent / "data"
ALL = sorted(SHAPES)


def text_of(name):
    return (DATA / f"{name}.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ALL)
def test_every_row_has_an_origin_and_a_mark_that_agrees(name):
    found = table(name)
    assert found.title
    assert found.reviewed in MARKS
    for rows in found.parts.values():
        for row in rows:
            origin, mark = row.text("origin"), found.row_mark(row)
            if mark == "verified":
                assert re.search(r"\bseen\b", origin), row.where
                assert "from memory" not in origin, row.where
            elif mark == "from-memory":
                assert "from memory" in origin, row.where
            elif mark == "common-practice":
                assert "common practice, no source" in origin, row.where
            else:
                assert "unverified" in origin, row.where


@pytest.mark.parametrize("name", ALL)
def test_every_edition_has_its_place(name):
    found = table(name)
    assert tuple(found.places) == EDITIONS
    for edition in EDITIONS:
        assert section(name, edition) == found.places[edition].section
        assert (found.places[edition].reviewed == "verified") == found.places[edition].origin.startswith("seen: ")
    assert found.places["2026"].reviewed == "unverified" or name == "load_factors"


@pytest.mark.parametrize("name", ALL)
def test_units_name_columns_of_the_table(name):
    found = table(name)
    columns = {column for rows in found.parts.values() for row in rows for column in row.cells}
    columns |= {row.text("name") for row in found if "name" in row.cells}
    for unit in found.units:
        assert any(column == unit or unit in column.split("_") or unit in column for column in columns), unit


def test_there_are_all_the_files_and_no_other():
    assert {p.stem for p in DATA.iterdir()} == set(SHAPES) == set(tables())
    assert tables() is tables()


@pytest.mark.parametrize("name", ALL)
def test_rows_are_different_from_each_other(name):
    for rows in table(name).parts.values():
        assert len({repr(sorted(row.cells.items())) for row in rows}) == len(rows)


GOOD = text_of("current_carrying_conductors")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (("title = ", "titel = "), "current_carrying_conductors.toml: unknown key titel"),
        (
            ('reviewed = "verified"', 'reviewed = "sure"'),
            "current_carrying_conductors.toml.reviewed must be of kind mark",
        ),
        (("factor = 0.8,", "factor = -0.8,"), r"rows\[1\].factor must be of kind number"),
        (("factor = 0.8,", "factor = nan,"), r"rows\[1\].factor must be of kind number"),
        (("factor = 0.8,", "factor = true,"), r"rows\[1\].factor must be of kind number"),
        (("factor = 0.8,", 'factor = "0.8",'), r"rows\[1\].factor must be of kind number"),
        (("factor = 0.8,", ""), r"rows\[1\]: factor is missing"),
        (("factor = 0.8,", "factor = 0.8, extra = 1,"), r"rows\[1\]: unknown key extra"),
        (("editions.2020", "editions.2019"), "editions.2020 is missing"),
        (('editions.2020 = { section = "', 'editions.2020 = { part = "'), "editions.2020: unknown key part"),
        (("editions.2026", "editions.2029 = 1\neditions.2026"), "has more than"),
        (("origin.values", "origin.value"), "origin: unknown key value"),
        (('units.factor = "multiplier"', "units.factor = 1"), "units.factor must be of kind text"),
        (("rows = [", "rows = [[]] #"), "toml"),
        (("rows = [", "rows = 3 #["), "toml"),
        (("title = ", "title "), "current_carrying_conductors.toml: "),
    ],
)
def test_a_wrong_file_is_refused_with_its_name_and_key(change, message):
    old, new = change
    assert old in GOOD
    with pytest.raises(TableError, match=message):
        read_table("current_carrying_conductors", GOOD.replace(old, new, 1))


def test_a_file_without_shape_and_a_shape_without_file_are_refused(monkeypatch):
    monkeypatch.setattr(load, "SHAPES", {**SHAPES, "another": {"rows": {"a": "number"}}})
    with pytest.raises(TableError, match="another"):
        tables.__wrapped__()


def test_a_shape_of_an_unknown_kind_is_refused(monkeypatch):
    monkeypatch.setattr(load, "SHAPES", {"current_carrying_conductors": {"rows": {"from_count": "figure"}}})
    bare = GOOD[: GOOD.index("rows = [")] + 'rows = [{ from_count = 1, origin = "seen" }]\n'
    with pytest.raises(TableError, match="unknown kind figure"):
        read_table("current_carrying_conductors", bare)


def test_load_factors_have_every_name_in_every_edition(monkeypatch):
    text = text_of("load_factors")
    renamed = read_table(
        "load_factors", text.replace('name = "dryer_least_va", edition = "2020"', 'name = "other", edition = "2020"')
    )
    monkeypatch.setattr(loads, "table", lambda name: renamed if name == "load_factors" else table(name))
    with pytest.raises(TableError, match=r"2020: differs in .'dryer_least_va', 'other'."):
        loads.factors.__wrapped__("2020")


def test_a_table_without_rows_is_refused():
    bare = GOOD[: GOOD.index("rows = [")] + "rows = []\n"
    with pytest.raises(TableError, match="rows has no row"):
        read_table("current_carrying_conductors", bare)
    with pytest.raises(TableError, match=r"rows\[0\] is no row"):
        read_table("current_carrying_conductors", bare.replace("[]", "[1]"))


def test_editions_of_a_row_are_editions_in_order():
    text = text_of("standard_ratings")
    for wrong in ('["2023", "2020"]', '["2014"]', "[]", '"2023"'):
        with pytest.raises(TableError, match="must be of kind editions"):
            read_table("standard_ratings", text.replace('editions = ["2023", "2026"]', f"editions = {wrong}", 1))


def test_a_row_is_read_by_type():
    row = Row("some.toml: rows[0]", {"n": 1, "t": "x", "f": True, "l": ["a"], "m": [1, 2.5]})
    assert (row.number("n"), row.text("t"), row.flag("f"), row.texts("l"), row.numbers("m")) == (
        1,
        "x",
        True,
        ("a",),
        (1, 2.5),
    )
    assert row.number_or_none("absent") is None
    assert row.text_or_none("absent") is None
    for read, column in (
        (row.number, "t"),
        (row.number, "f"),
        (row.text, "n"),
        (row.flag, "n"),
        (row.texts, "m"),
        (row.numbers, "l"),
        (row.number, "absent"),
    ):
        with pytest.raises(TableError, match=r"some.toml: rows\[0\]: "):
            read(column)


@pytest.mark.parametrize(
    ("ask", "name"),
    [
        (lambda: table("nothing"), "nothing"),
        (lambda: section("ampacity", "2014"), "2014"),
        (lambda: conductors.area_kcmil("16 AWG"), "16 AWG"),
        (lambda: conductors.ac_impedance("4/0 AWG", "silver", "steel"), "silver"),
        (lambda: conductors.ac_impedance("16 AWG", "copper", "steel"), "16 AWG"),
        (lambda: conductors.ac_impedance("4/0 AWG", "copper", "wood"), "wood"),
        (lambda: ampacity.ampacity_a("4/0 AWG", "copper", 80), "80"),
        (lambda: ampacity.ambient_factor(30, 80), "80"),
        (lambda: ampacity.conductor_count_factor(0), "0"),
        (lambda: ampacity.dwelling_service_size(200, "silver"), "silver"),
        (lambda: overcurrent.standard_ratings("2014"), "2014"),
        (lambda: overcurrent.standard_ratings("2017", "relay"), "relay"),
        (lambda: overcurrent.small_conductor_limits("2014"), "2014"),
        (lambda: overcurrent.receptacle_ratings_a("2014", 20), "2014"),
        (lambda: overcurrent.busbar_factors("double"), "double"),
        (lambda: grounding.electrode_conductor_size(100, "silver", "copper"), "silver"),
        (lambda: grounding.electrode_conductor_cap("tree", "copper"), "tree"),
        (lambda: grounding.equipment_grounding_size(20, "silver"), "silver"),
        (lambda: space.working_space_depth_in(120, 4), "4"),
        (lambda: space.working_space_condition("wood"), "wood"),
        (lambda: space.working_space_least_in("depth"), "depth"),
        (lambda: space.side_bending_space_in("16 AWG", 1), "16 AWG"),
        (lambda: space.opposite_bending_space_in("4/0 AWG", 0), "0 wires"),
        (lambda: enclosures.keeps_out("7"), "7"),
        (lambda: enclosures.types_that_are("airtight"), "airtight"),
        (lambda: motors.full_load_current_a(5, 2, 240), "2 phases"),
        (lambda: motors.full_load_current_a(5, 1, 480), "480"),
        (lambda: motors.device_percent("steam", "dual_element_fuse"), "steam"),
        (lambda: raceway_fill.conductor_area_in2("1250 kcmil", "thhn"), "1250"),
        (lambda: raceway_fill.trade_sizes("hose"), "hose"),
        (lambda: raceway_fill.conduit_area_in2("EMT", "6"), "EMT 6"),
        (lambda: raceway_fill.fill_percent("four"), "four"),
    ],
)
def test_asking_for_what_no_table_holds_is_refused_by_name(ask, name):
    with pytest.raises(TableError, match=re.escape(name)):
        ask()


def test_beyond_the_tables():
    assert ampacity.ambient_factor(85.5, 90) is None
    assert ampacity.smallest_size(1000, "copper", 75) is None
    assert ampacity.dwelling_service_size(110.5, "copper") is None
    assert grounding.equipment_grounding_size(6001, "copper") is None
    assert space.working_space_depth_in(1001, 1) is None
    assert space.side_bending_space_in("4/0 AWG", 6) is None
    assert motors.full_load_current_a(11, 1, 240) is None
    assert conductors.size_with_area_at_least(2000.5) is None
