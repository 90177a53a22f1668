"""Worked examples of ampacity, devices, grounding, fill, bending, busbars and working space.

Each test is named by the example's id; ``tests/reference/worked-examples.json`` holds its source and its own steps.
"""

import pytest

from changeout.domain.facts import Measurement, fixed
from changeout.domain.interval import Interval
from changeout.electrical.bounds import no_more_than
from electrical.conductor_examples import CALCULATIONS, EXAMPLES, KINDS, UNITS


@pytest.mark.parametrize("example", EXAMPLES, ids=[e["id"] for e in EXAMPLES])
def test_worked_example(example):
    found = CALCULATIONS[example["kind"]](example["input"], *example["editions"])
    where = f"{example['source_title']}, {example['source_where']}"
    for name, expected in example["expected"].items():
        if isinstance(expected, (bool, str)):
            assert found[name] == expected, (name, where)
            continue
        unit = next((u for suffix, u in UNITS.items() if name.endswith(suffix)), None)
        assert found[name] == pytest.approx(expected, abs=example["tolerance"].get(unit, 0), rel=0), (name, where)


def test_no_example_is_left_out():
    assert len(EXAMPLES) == 30
    assert {e["kind"] for e in EXAMPLES} == set(KINDS)


def test_a_changed_figure_would_be_seen():
    # the comparison itself: an expectation altered by more than its tolerance fails for every example
    for example in EXAMPLES:
        found = CALCULATIONS[example["kind"]](example["input"], *example["editions"])
        for name, expected in example["expected"].items():
            other = (
                not expected
                if isinstance(expected, bool)
                else f"{expected}x"
                if isinstance(expected, str)
                else expected + 50
            )
            assert found[name] != other
            if not isinstance(expected, (bool, str)):
                assert found[name] != pytest.approx(other, abs=30, rel=0)


def test_measured_comparison_at_the_limit():
    assert no_more_than(fixed(270.0), Measurement(Interval.exactly(270.0))).holds
