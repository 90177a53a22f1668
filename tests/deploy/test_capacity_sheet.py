"""The arithmetic of the capacity sheet, and that the kept pages are those of the kept figures.

Expectations are worked out by hand beside each.
"""

import json
import runpy
import subprocess
import sys
from importlib import resources
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CAPACITY = ROOT / "deploy" / "capacity.py"
FIGURES = ROOT / "tests" / "benchmarks" / "figures.json"


@pytest.fixture(scope="module")
def capacity():
    # Its classes look for the module that they were made in.
    sys.path.insert(0, str(CAPACITY.parent))
    try:
        import capacity
    finally:
        sys.path.pop(0)
    return capacity


def test_a_core_answers_what_its_seconds_allow(capacity):
    # 1 / (0.018 + 0.002) = 50 a second; two and a half cores 125
    costs = capacity.Costs(validation_s=0.018, overhead_s=0.002)
    assert capacity.requests_per_second(costs, 1) == pytest.approx(50)
    assert capacity.requests_per_second(costs, 2.5) == pytest.approx(125)


def test_the_peak_is_the_mean_of_the_working_hours_times_a_factor(capacity):
    # 720,000 x 10 requests in 250 x 8 x 3600 = 7,200,000 s are 1 a second, 6 at the peak
    assert capacity.peak_per_second(720_000, capacity.Assumptions()) == pytest.approx(6)
    # twice the hours, half the rate
    assert capacity.peak_per_second(720_000, capacity.Assumptions(hours_a_day=16)) == pytest.approx(3)


@pytest.mark.parametrize(
    ("per_second", "expected"),
    [
        (0.01, 2),  # never fewer than two
        (30.0, 2),  # 50 x 0.6 = 30 a replica: one, and one to spare
        (30.1, 3),
        (300.0, 11),
        (3000.0, 101),
    ],
)
def test_replicas_are_filled_to_a_share_with_one_to_spare(capacity, per_second, expected):
    costs = capacity.Costs(validation_s=0.018, overhead_s=0.002)
    assert capacity.replicas(per_second, costs, capacity.Assumptions()) == expected


def test_assumptions_move_the_number(capacity):
    # 50 x 2 cores x 0.5 = 50 a replica: 300 / 50 = 6, and two to spare
    costs = capacity.Costs(validation_s=0.018, overhead_s=0.002)
    assumed = capacity.Assumptions(cores_a_replica=2, utilisation=0.5, spare_replicas=2)
    assert capacity.replicas(300, costs, assumed) == 8


def test_the_costs_are_those_that_the_benchmark_measured(capacity):
    figures = {
        "figures": [
            {"id": "validation", "beside": {"median_validation_ms": 18.0}},
            {"id": "prediction", "beside": {"overhead_ms": 2.0}},
        ]
    }
    assert capacity.costs_of(figures) == capacity.Costs(validation_s=0.018, overhead_s=0.002)


def test_the_sheet_is_that_of_the_kept_figures(capacity):
    figures = json.loads(FIGURES.read_text())
    assert (ROOT / "deploy" / "CAPACITY.md").read_text() == capacity.sheet(figures, capacity.Assumptions())


def test_the_page_of_speed_is_that_of_the_kept_figures():
    page = runpy.run_path(str(ROOT / "tests" / "benchmarks" / "page.py"))["page"]
    kept = resources.files("changeout.docs").joinpath("speed.md").read_text("utf-8")
    assert kept == page(json.loads(FIGURES.read_text()))


def test_the_command_answers_for_one_load(capacity):
    figures = json.loads(FIGURES.read_text())
    done = subprocess.run(
        [sys.executable, str(CAPACITY), str(FIGURES), "--year", "720000"], capture_output=True, text=True, check=True
    )
    number = capacity.replicas(6.0, capacity.costs_of(figures), capacity.Assumptions())
    assert done.stdout == f"{number} replicas for 6.00 requests a second at the peak\n"


def test_every_figure_of_the_benchmark_is_kept_with_its_aim():
    kept = json.loads(FIGURES.read_text())
    expected = {
        "validation", "growth", "full-report", "fault-opendss", "fault-pandapower", "start", "jobs", "rate",
        "evenness", "memory", "prediction", "flat",
    }  # fmt: skip
    assert {row["id"] for row in kept["figures"]} == expected
    for row in kept["figures"]:
        if row["aim"] == "none":
            assert row["said"] == "told"
            continue
        bound = float(row["aim"].rpartition(" ")[2])
        reached = row["value"] <= bound if row["aim"].startswith("at most") else row["value"] >= bound
        assert row["said"] == ("pass" if reached else "short"), row["id"]
