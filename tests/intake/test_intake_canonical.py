"""What a decision rests on has one form, whatever spelling it came in."""

import json

import pytest
import rfc8785
from intake_documents import dwelling, read, smallest, with_member

SMALLEST = {
    "changeout": 1,
    "project": {"edition": "2023", "occupancy": "one-family-dwelling"},
    "work": {"scope": "enclosed-panelboard"},
}


def test_the_smallest_document_is_itself():
    assert read(smallest()).canonical == SMALLEST


def test_quantities_are_numbers_in_base_units():
    canonical = read(dwelling()).canonical
    assert canonical["supply"]["source"]["rating"] == 50000.0
    assert canonical["supply"]["runs"][0]["length"] == 720.0
    assert canonical["panelboard"]["termination_temperature"] == 75.0
    assert canonical["panelboard"]["main"]["class"] == "molded-case"
    assert canonical["panelboard"]["main"]["voltage_rating"] == "120/240 V"
    assert canonical["panelboard"]["circuits"][1]["load"] == {"value": 5.0, "unit": "hp"}
    assert canonical["load"]["appliances"][1] == {
        "name": "heat pump",
        "rating": {"value": 20.0, "unit": "A"},
        "kind": "heat-pump",
        "supplemental": 10000.0,
    }
    assert canonical["location"] == {"conditions": ["dry"], "working_space": {"depth": 36.0, "width": 30.0}}
    assert canonical["documents"][0]["dated"] == "2025-06-01"
    assert canonical["generation"] == []


def test_the_senders_own_words_are_left_out():
    canonical = read(dwelling()).canonical
    assert canonical["project"] == {
        "edition": "2023",
        "jurisdiction": "demo-harbor-county",
        "applied_on": "2026-03-02",
        "occupancy": "one-family-dwelling",
    }


SAME = [
    {"/panelboard/busbar_rating": ["200 A", "0.2 kA", "2e2 A", "200.0 A"]},
    {"/location/working_space/depth": ["36 in", "3 ft", "914.4 mm", "91.44 cm", "0.9144 m"]},
    {"/panelboard/termination_temperature": ["75 degC", "167 degF"]},
    {"/panelboard/circuits/0/number": [1, 1.0, 1e0]},
    {"/supply/source/x_over_r": [2, 2.0]},
    {"/panelboard": [None, {}, {"listed": None}, {"main": {}}, {"main": {"rating": None}, "circuits": None}]},
    {"/project/reference": [None, "a", "b"]},
    {"/project/annotations": [None, {}, {"a": "b"}]},
    {"/load/calculated_load": ["24 kVA", "24000 VA"]},
]


@pytest.mark.parametrize("spellings", SAME)
def test_spellings_of_one_fact_are_one(spellings):
    ((pointer, values),) = spellings.items()
    forms = {rfc8785.dumps(read(with_member(smallest(), pointer, value)).canonical) for value in values}
    assert len(forms) == 1


DIFFERENT = [
    {"/generation": [None, []]},
    {"/supply/runs": [None, [], [{}], [{}, {}]]},
    {"/supply/separately_derived": [None, {}, {"rating": "75 kVA"}]},
    {"/supply/overcurrent_device": [None, {"rating": None}]},
    {"/panelboard/second_main": [None, {}]},
    {"/load/calculated_load": ["24 kVA", "24 kW", "24 A", "24.1 kVA"]},
    {"/grounding/electrodes": [None, [], ["ground-rod"]]},
    {"/panelboard/listed": [None, True, False]},
    {"/panelboard/main/voltage_rating": ["240 V", "120/240 V"]},
]


@pytest.mark.parametrize("meanings", DIFFERENT)
def test_different_facts_are_different(meanings):
    ((pointer, values),) = meanings.items()
    forms = {rfc8785.dumps(read(with_member(smallest(), pointer, value)).canonical) for value in values}
    assert len(forms) == len(values)


def test_it_is_plain_json_without_nulls():
    canonical = read(dwelling()).canonical
    assert json.loads(json.dumps(canonical, allow_nan=False)) == canonical
    assert "null" not in json.dumps(canonical)


def test_the_order_of_members_changes_nothing():
    backwards = json.loads(json.dumps(dwelling()), object_pairs_hook=lambda pairs: dict(reversed(pairs)))
    assert rfc8785.dumps(read(backwards).canonical) == rfc8785.dumps(read(dwelling()).canonical)
    assert read(backwards).proposal == read(dwelling()).proposal
