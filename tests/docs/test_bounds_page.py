"""The page on bounds says what is tested and measured now."""

import pytest
from measure_bounds import ONE_WAY, PAGE, between, measured, tables

from changeout.application.service import Service

FOUND, BOTH = measured(Service.load())
LEAST_SHARE = 0.8
"""Of the undetermined findings that go both ways: a floor against decay, below what was measured."""


@pytest.mark.parametrize("name", ["ranges", "absence", "moves", "measured", "reasons"])
def test_the_committed_table_is_not_stale(name):
    committed = between(name).search(PAGE.read_text("utf-8"))
    assert committed is not None
    again = "write it again: python tests/docs/measure_bounds.py"
    assert committed[2] == tables(FOUND, BOTH)[name], again


def test_every_undetermined_finding_goes_both_ways_or_there_is_a_reason_why_not():
    short = {rule for rule in FOUND if BOTH[rule] < FOUND[rule]}
    assert short <= set(ONE_WAY)
    assert all(len(why) > 20 for why in ONE_WAY.values())


def test_most_findings_go_both_ways():
    assert FOUND.total() > 300
    assert BOTH.total() / FOUND.total() >= LEAST_SHARE


def test_the_cost_is_within_what_is_aimed_at():
    committed = between("cost").search(PAGE.read_text("utf-8"))
    ratios = [float(row.split("|")[-2]) for row in committed[2].splitlines()[2:]]
    assert len(ratios) == 4
    assert max(ratios) <= 10.0
