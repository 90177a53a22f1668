"""Every figure of the tables equals the independent copy in ``tests/reference/tables``, value for value.

The copy was made from the named sources by other hands; ``read here`` in it means seen in the source named there.
Each comparison counts its figures, so that none is left out unseen.
"""

import json
import pathlib

import pytest

from changeout.tables import (
    ampacity,
    conductors,
    enclosures,
    grounding,
    loads,
    motors,
    overcurrent,
    raceway_fill,
    space,
)
from changeout.tables.load import EDITIONS, section, table

REFERENCE = pathlib.Path(__file__).parent.parent / "reference" / "tables"


def reference(name):
    return json.loads((REFERENCE / f"{name}.json").read_text(encoding="utf-8"))


def size(text, unit=None):
    if text is None:
        return None
    return f"{text} {unit or ('kcmil' if text.isdigit() and int(text) >= 250 else 'AWG')}"


def compared(pairs, count):
    pairs = list(pairs)
    different = [(what, ours, theirs) for what, ours, theirs in pairs if ours != theirs]
    assert different == []
    assert len(pairs) == count


def test_ampacity():
    columns = {f"{a}_{c}c": (b, c) for a, b in (("cu", "copper"), ("al", "aluminum")) for c in (60, 75, 90)}
    compared(
        (
            ((r["size"], key), ampacity.ampacity_a(size(r["size"], r["size_unit"]), material, column), r[key])
            for r in reference("conductor_ampacity_310_16")["rows"]
            for key, (material, column) in columns.items()
        ),
        28 * 6,
    )
    assert [size(r["size"], r["size_unit"]) for r in reference("conductor_ampacity_310_16")["rows"]] == list(
        conductors.SIZES
    )


def test_ambient_correction_at_both_ends_of_every_band():
    rows = reference("ambient_correction")["rows"]
    compared(
        (
            ((end, c), ampacity.ambient_factor(end, c), r[f"f_{c}c"])
            for r in rows
            for end in (r["ambient_c_from"] if r["ambient_c_from"] is not None else -20, r["ambient_c_to"])
            for c in (60, 75, 90)
        ),
        16 * 2 * 3,
    )
    assert ampacity.hottest_ambient_degc() == rows[-1]["ambient_c_to"]


def test_current_carrying_conductors_at_both_ends_of_every_row():
    compared(
        (
            (n, ampacity.conductor_count_factor(n), r["factor"])
            for r in reference("more_than_three_conductors")["rows"]
            for n in (r["conductors_from"], r["conductors_to"] or 200)
        ),
        7 * 2,
    )


def test_conductor_properties():
    ours = {row.text("size"): row for row in table("conductor_properties")}
    columns = {
        "circular_mils": "circular_mils",
        "r_cu_uncoated": "copper_uncoated",
        "r_cu_coated": "copper_coated",
        "r_al": "aluminum",
    }
    rows = reference("conductor_dc_resistance_ch9_t8")["rows"]
    compared(
        (
            ((r["size"], key), ours[size(r["size"], r["size_unit"])].number(column), r[key])
            for r in rows
            for key, column in columns.items()
        ),
        28 * 4,
    )
    compared(
        ((r["size"], conductors.area_kcmil(size(r["size"], r["size_unit"])), r["circular_mils"] / 1000) for r in rows),
        28,
    )


def test_ac_impedance():
    columns = {
        f"r_{m}_{w}": (material, raceway)
        for m, material in (("cu", "copper"), ("al", "aluminum"))
        for w, raceway in (("pvc", "nonmetallic"), ("al_conduit", "aluminum"), ("steel", "steel"))
    }
    pairs = []
    for r in reference("conductor_ac_impedance_ch9_t9")["rows"]:
        for key, (material, raceway) in columns.items():
            reactance = r["x_steel"] if raceway == "steel" else r["x_pvc_al"]
            ours = conductors.ac_impedance(size(r["size"], r["size_unit"]), material, raceway)
            pairs.append(((r["size"], key), ours, None if r[key] is None else (r[key], reactance)))
    compared(pairs, 21 * 6)
    printed = {size(r["size"], r["size_unit"]) for r in reference("conductor_ac_impedance_ch9_t9")["rows"]}
    for other in set(conductors.SIZES) - printed:
        assert conductors.ac_impedance(other, "copper", "steel") is None


def test_conductor_and_conduit_areas():
    compared(
        (
            ((r["size"], kind), raceway_fill.conductor_area_in2(size(r["size"], r["size_unit"]), kind), r[kind])
            for r in reference("conductor_area_ch9_t5")["rows"]
            for kind in ("thhn", "xhhw")
        ),
        24 * 2,
    )
    conduit = reference("conduit_area_ch9_t4")
    diameters = {
        (r.text("conduit"), r.text("trade_size")): r.number("inside_diameter_in") for r in table("conduit_area")
    }
    pairs = []
    for r in conduit["rows"]:
        key = (r["conduit"], r["trade_size"])
        pairs += [
            (key, diameters[key], r["inside_diameter_in"]),
            (key, raceway_fill.conduit_area_in2(*key), r["area_100_in2"]),
            (key, raceway_fill.conduit_area_40_percent_in2(*key), r["area_40_in2"]),
        ]
    compared(pairs, 46 * 3)
    words = {"1": "one", "2": "two", "3 or more": "three or more"}
    compared(
        (
            (f["conductors"], raceway_fill.fill_percent(words.get(f["conductors"], f["conductors"])), f["percent"])
            for f in conduit["fill_limits"]
        ),
        4,
    )


def test_dwelling_service():
    compared(
        (
            ((r["rating_a"], m), ampacity.dwelling_service_size(r["rating_a"], material), size(r[m]))
            for r in reference("dwelling_service_310_12")["rows"]
            for m, material in (("cu", "copper"), ("al", "aluminum"))
        ),
        11 * 2,
    )


def test_equipment_grounding():
    compared(
        (
            ((r["ocpd_a_max"], m), grounding.equipment_grounding_size(r["ocpd_a_max"], material), size(r[m]))
            for r in reference("equipment_grounding_250_122")["rows"]
            for m, material in (("cu", "copper"), ("al", "aluminum"))
        ),
        19 * 2,
    )


def end_kcmil(text):
    return 1e6 if text is None else (float(text) if text in {"1100", "1750"} else conductors.area_kcmil(size(text)))


@pytest.mark.parametrize(
    ("name", "prefix", "find"),
    [
        ("grounding_electrode_conductor_250_66", "gec", grounding.electrode_conductor_size),
        ("main_bonding_jumper_250_102C1", "jumper", grounding.bonding_jumper_size),
    ],
)
def test_grounding_electrode_and_bonding_jumper_at_the_end_of_every_row(name, prefix, find):
    rows = reference(name)["rows"]
    compared(
        (
            (
                (r["service_cu"], s, m),
                find(end_kcmil(r[f"service_{s}_max"]), supply, material),
                None if "%" in r[f"{prefix}_{m}"] else size(r[f"{prefix}_{m}"]),
            )
            for r in rows
            for s, supply in (("cu", "copper"), ("al", "aluminum"))
            for m, material in (("cu", "copper"), ("al", "aluminum"))
        ),
        7 * 4,
    )
    ours = list(table("grounding_electrode" if prefix == "gec" else "bonding_jumper"))
    assert [(r.text("supply_copper"), r.text("supply_aluminum")) for r in ours] == [
        (r["service_cu"], r["service_al"]) for r in rows
    ]


def test_caps_of_electrode_conductors():
    caps = reference("grounding_electrode_conductor_250_66")["caps"]
    for cap, electrode in zip(caps, ("rod-pipe-plate", "concrete-encased", "ground-ring"), strict=True):
        printed = cap["cu_need_not_exceed"]
        expected = size(printed) if printed.isdigit() else None
        assert grounding.electrode_conductor_cap(electrode, "copper") == expected
        assert grounding.electrode_conductor_cap(electrode, "aluminum") == size(cap["al_need_not_exceed"])
    assert grounding.bonding_jumper_fraction() == 0.125


def test_standard_ratings():
    rows = reference("standard_ocpd_240_6A")["rows"]
    for edition in EDITIONS:
        held = [r for r in rows if edition in r["editions"]]
        breakers = sorted(r["rating_a"] for r in held if r["kind"] == "fuse and inverse-time breaker")
        assert list(overcurrent.standard_ratings(edition)) == breakers
        assert list(overcurrent.standard_ratings(edition, "fuse")) == sorted({r["rating_a"] for r in held})
    assert 10 not in overcurrent.standard_ratings("2020")
    assert 10 in overcurrent.standard_ratings("2023")


def test_small_conductors():
    for edition in EDITIONS:
        expected = {
            (size(r["size"]), material): r["max_ocpd_a"]
            for r in reference("small_conductor_240_4D")["rows"]
            if edition in r["editions"]
            for material in r["material"].replace("aluminium", "aluminum").split(" or ")
        }
        assert overcurrent.small_conductor_limits(edition) == expected


def test_circuit_ratings():
    whole = reference("receptacle_and_breaker_sizes")
    ours = {(row.number("circuit_a"), row.text("smallest_copper")): row for row in table("circuit_ratings")}
    assert len(ours) == len(whole["rows"]) == 6
    for r in whole["rows"]:
        row = ours[r["circuit_a"], size(r["min_cu"])]
        assert list(row.texts("editions")) == r["editions"]
        cord = r["max_cord_connected_a"]
        expected = {str(r["circuit_a"]): cord} if isinstance(cord, int) else cord
        assert row.cells.get("cord_connected_through_a") == expected
        for edition in EDITIONS:
            rated = tuple(r["receptacle_a"]) if edition in r["editions"] else None
            assert overcurrent.receptacle_ratings_a(edition, r["circuit_a"]) == rated
    assert list(overcurrent.common_panelboard_ratings_a()) == whole["common_panelboard_ratings_a"]["values"]
    least = [row.number("least_a") for row in table("circuit_ratings").parts["service_minimum"]]
    assert least == [whole["service_minimum_a"]["one_family"], whole["service_minimum_a"]["all_other"]]


def test_busbar_sources():
    rows = reference("pv_backfeed_705_12")["rows"]
    ours = {row.text("rule"): row for row in table("busbar_sources")}
    assert len(ours) == len(rows)
    for r in rows:
        row = ours[r["rule"].replace("centre", "center").replace(" ", "-")]
        assert row.text("test") == r["test"]
        assert [row.text(f"item_{e}") for e in ("2017", "2020", "2023")] == [r["2017"], r["2020"], r["2023"]]
        if r["test"].startswith("1.25*source_output_a + main_ocpd_a <= "):
            limit = r["test"].removeprefix("1.25*source_output_a + main_ocpd_a <= ")
            factors = overcurrent.busbar_factors(row.text("rule"))
            assert factors.output_percent == 125
            assert factors.busbar_percent == {"busbar_a": 100, "1.20*busbar_a": 120}[limit]


def test_wire_bending():
    order = [s.split()[0] for s in conductors.SIZES]

    def span(text):
        first, _, last = text.partition("-")
        return order[order.index(first) : order.index(last or first) + 1]

    pairs = []
    for r in reference("wire_bending_312_6")["rows"]:
        find = space.side_bending_space_in if r["table"] == "A" else space.opposite_bending_space_in
        for one in span(r["wire"]):
            for wires, printed in r["per_terminal_in"].items():
                count = int(wires.rstrip("+"))
                pairs.append(((r["table"], one, wires), find(size(one), count), printed))
                if r["table"] == "B":
                    less = r.get("may_reduce_by_in_removable_or_lay_in", {}).get(wires, 0)
                    pairs.append(((one, wires, "less"), space.opposite_bending_reduction_in(size(one), count), less))
    compared(pairs, 28 * 5 + 28 * 4 * 2)


def test_wire_bending_of_compact_aluminum():
    order = [s.split()[0] for s in conductors.SIZES]
    count = 0
    for r in reference("wire_bending_312_6")["rows"]:
        compact = r.get("wire_compact_aa8000_al")
        if compact is None:
            continue
        first, _, last = compact.partition("-")
        for one in order[order.index(first) : order.index(last or first) + 1]:
            ours = space.opposite_bending_space_in(size(one), 1, compact_aluminum=True)
            assert ours == r["per_terminal_in"]["1"], one
            count += 1
    assert count == 22


def test_working_space():
    whole = reference("working_space_110_26A1")
    compared(
        (
            (
                (r["v_to_ground"], end, condition),
                space.working_space_depth_in(float(end), condition),
                r[f"condition_{condition}_ft"] * 12,
            )
            for r in whole["rows"]
            for end in r["v_to_ground"].split("-")
            for condition in (1, 2, 3)
        ),
        3 * 2 * 3,
    )
    conditions = {int(r.number("condition")): r.text("when") for r in table("working_space").parts["conditions"]}
    assert conditions == {int(k): v for k, v in whole["conditions"].items()}
    texts = {r.text("what"): r.text("text") for r in table("working_space").parts["other_dimensions"]}
    assert texts == {o["what"]: o["value"] for o in whole["other_dimensions"]}
    assert texts["width"].startswith("30 in")
    assert space.working_space_least_in("width") == 30
    assert texts["height"].startswith("6.5 ft")
    assert space.working_space_least_in("height") == 6.5 * 12


def test_enclosure_types():
    rows = reference("enclosure_types_110_28")["rows"]
    assert enclosures.enclosure_types() == tuple(r["type"] for r in rows)
    for r in rows:
        assert enclosures.is_for_outdoors(r["type"]) is r["for_outdoor_use"]
        assert enclosures.is_for_indoors(r["type"]) is r["for_indoor_use"]
        assert enclosures.protection_words(r["type"]) == r["protects_against"].replace("fibres", "fibers")
    note = reference("enclosure_types_110_28")["origin"]["note"].removesuffix(" (from memory)")
    for part in note.split("; "):
        word, _, types = part.partition(": ")
        expected = {t for one in types.split(", ") for t in expanded(one)}
        assert set(enclosures.types_that_are(word)) == expected, word


def expanded(text):
    base, _, letter = text.partition("(")
    return {base, base + letter.rstrip(")")}


def test_motor_currents():
    count = 0
    for name, phases, volts in (("motor_flc_430_248", 1, (115, 200, 208, 230)), ("motor_flc_430_250", 3, None)):
        rows = reference(name)["rows"]
        ours = {
            row.text("horsepower"): row for row in table("motor_single_phase" if phases == 1 else "motor_three_phase")
        }
        assert list(ours) == [r["hp"] for r in rows]
        for r in rows:
            for v in volts or (115, 200, 208, 230, 460, 575, 2300):
                assert ours[r["hp"]].number_or_none(f"at_{v}v_a") == r[f"v{v}"]
                count += 1
            found = motors.full_load_current_a(motors.rated_horsepower(r["hp"]), phases, 240)
            assert found == r["v230"]
    assert count == 12 * 4 + 27 * 7


def test_motor_devices():
    columns = ("nontime_delay_fuse", "dual_element_fuse", "instantaneous_breaker", "inverse_time_breaker")
    compared(
        (
            ((r["motor"], c), motors.device_percent(r["motor"], c), r[f"{c}_percent"])
            for r in reference("motor_branch_ocpd_430_52")["rows"]
            for c in columns
        ),
        24,
    )


def test_existing_dwellings():
    cases = {r["case"]: r for r in reference("dwelling_existing_220_83")["rows"]}
    for edition in ("2017", "2020", "2023"):
        ours = loads.factors(edition)
        for case in ("A", "B"):
            assert ours.existing_first_va == cases[case]["first_va"]
            assert ours.existing_first_percent == cases[case]["first_percent"]
            assert ours.existing_rest_percent == cases[case]["rest_percent"]
        assert ours.existing_added_heating_cooling_percent == cases["B"]["hvac_percent"]
    ours = loads.factors("2026")
    assert ours.general_lighting_va_per_ft2 == cases["2026"]["lighting_va_per_ft2"]
    assert (ours.existing_first_va, ours.existing_first_percent, ours.existing_rest_percent) == (None, None, None)
    includes = {
        r.text("edition"): r.text("text")
        for r in table("load_factors").parts["conditions"]
        if r.text("name") == "existing_includes"
    }
    assert includes["2020"] == "; ".join(cases["A"]["include"])


def test_sections_are_those_of_the_reference():
    names = {
        "ampacity": "conductor_ampacity_310_16",
        "ambient_correction": "ambient_correction",
        "current_carrying_conductors": "more_than_three_conductors",
        "conductor_properties": "conductor_dc_resistance_ch9_t8",
        "conductor_impedance": "conductor_ac_impedance_ch9_t9",
        "conductor_area": "conductor_area_ch9_t5",
        "conduit_area": "conduit_area_ch9_t4",
        "dwelling_service": "dwelling_service_310_12",
        "equipment_grounding": "equipment_grounding_250_122",
        "grounding_electrode": "grounding_electrode_conductor_250_66",
        "bonding_jumper": "main_bonding_jumper_250_102C1",
        "motor_device": "motor_branch_ocpd_430_52",
        "motor_single_phase": "motor_flc_430_248",
        "motor_three_phase": "motor_flc_430_250",
        "enclosure_types": "enclosure_types_110_28",
        "working_space": "working_space_110_26A1",
        "busbar_sources": "pv_backfeed_705_12",
        "small_conductor": "small_conductor_240_4D",
        "standard_ratings": "standard_ocpd_240_6A",
    }
    for ours, theirs in names.items():
        sections = reference(theirs)["nec_section_by_edition"]
        for edition in EDITIONS:
            assert sections[edition].startswith(section(ours, edition)), (ours, edition)
