"""The page on calculations says what is measured now."""

import re
from importlib import resources

import pytest
from measure_calculations import NETWORKS, measured

from changeout.application.calculations import CALCULATIONS

PAGE = resources.files("changeout.docs").joinpath("calculations.md").read_text("utf-8")
MEASURED = measured()


def section(title):
    return PAGE.split(f"## {title}\n")[1].split("\n## ")[0]


def table(title):
    lines = [line for line in section(title).splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in lines[2:]]


ROWS = {(row[0], row[1]): row for row in table("What they were checked against")}


def numbers(text):
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", text)]


def test_every_check_is_in_the_table_and_nothing_else():
    assert list(ROWS) == [(row.calculation, row.against) for row in MEASURED]


@pytest.mark.parametrize("row", MEASURED, ids=lambda row: f"{row.calculation} - {row.against}")
def test_the_committed_figures_are_the_measured_ones(row):
    _, _, figures, difference = ROWS[row.calculation, row.against]
    assert int(figures) == row.figures
    last_digit = 0.1 if row.is_range else 0.001
    assert numbers(difference) == pytest.approx(numbers(row.difference), abs=1.01 * last_digit)


@pytest.mark.parametrize("row", [row for row in MEASURED if not row.is_range], ids=lambda row: row.against)
def test_differences_are_small(row):
    # published figures are printed with three or four digits
    limit = 0.25 if row.against == "published figures" else 0.1 if "examples" in row.against else 0.01
    assert max(abs(row.lowest_percent), abs(row.highest_percent)) < limit


def test_the_hand_method_is_never_above_ours():
    (row,) = [row for row in MEASURED if row.is_range]
    assert -20.0 < row.lowest_percent < row.highest_percent < 1e-6


def test_as_many_networks_are_solved_as_the_page_says():
    assert NETWORKS >= 200
    assert f"solving {NETWORKS} networks" in section("What they were checked against")


def test_the_page_names_every_kind():
    assert [row[0].strip("`") for row in table("The five kinds")] == list(CALCULATIONS)
