"""Worked examples of load calculations; ``tests/reference/worked-examples.json`` says where each was read.

Every open example of a load kind is recomputed here, every number it expects within the tolerance it states.
"""

import pytest

from electrical.load_examples import EXAMPLES, answers_of, calculate, dwelling_answers, tolerance_of


def rows():
    return [pytest.param(e, edition, id=f"{e['id']}-{edition}") for e in EXAMPLES.values() for edition in e["editions"]]


@pytest.mark.parametrize("example, edition", rows())
def test_a_worked_example_is_recomputed(example, edition):
    answers = answers_of(example, edition)
    for name, expected in example["expected"].items():
        if isinstance(expected, bool):
            assert answers[name] is expected, name
        else:
            assert answers[name] == pytest.approx(expected, rel=0, abs=tolerance_of(example, name)), name


def test_examples_of_every_load_kind_are_there():
    assert {e["kind"] for e in EXAMPLES.values()} == {
        "load-standard", "load-optional", "load-existing-220.83", "load-existing-220.87",
    }  # fmt: skip
    assert len(EXAMPLES) == 18


def test_an_added_heat_pump_counts_with_its_strip_heat_by_the_existing_dwelling_method():
    given = {**EXAMPLES["LX-03"]["input"], "heat_pump_va": 7200, "supplemental_heat_va": 10000}
    del given["cooling_va"], given["heating_va"]
    assert dwelling_answers(given, "dwelling-existing", "2023")["total_va"] == EXAMPLES["LX-03"]["expected"]["total_va"]


def test_only_lighting_of_2500_ft2_is_computed_where_the_house_has_nothing_else():
    given = EXAMPLES["LS-11"]["input"]
    result = calculate(given, "dwelling-standard", "2023")
    assert result.va.interval.value == 6150  # 3000 + 0.35 x 9000
