"""How many replicas a load asks for, from the figures of a benchmark.

Usage: python deploy/capacity.py FIGURES.json            the sheet: replicas from a town to a nation
       python deploy/capacity.py FIGURES.json --year N   replicas for N change-outs a year

FIGURES.json is what ``tests/benchmarks/run.py --json`` wrote, on the kind of machine that will serve.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

SCALES = (
    ("a town", 2_000),
    ("a city", 25_000),
    ("a state", 250_000),
    ("a nation", 5_000_000),
)
"""Change-outs a year. Round numbers to plan with; no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """What one request costs: processor seconds of the judging, and of all else that a request takes."""

    validation_s: float
    overhead_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """How change-outs become requests, and how full replicas may be. All common practice, no source."""

    requests_each: float = 10
    days_a_year: float = 250
    hours_a_day: float = 8
    peak_times_mean: float = 6
    utilisation: float = 0.6
    cores_a_replica: float = 1
    spare_replicas: int = 1
    least_replicas: int = 2


def requests_per_second(costs: Costs, cores: float) -> float:
    """The requests that so many cores answer in a second, busy without pause."""
    return cores / (costs.validation_s + costs.overhead_s)


def peak_per_second(change_outs_a_year: float, assumed: Assumptions) -> float:
    """The requests of the busiest second that is planned for."""
    seconds = assumed.days_a_year * assumed.hours_a_day * 3600
    return change_outs_a_year * assumed.requests_each / seconds * assumed.peak_times_mean


def replicas(per_second: float, costs: Costs, assumed: Assumptions) -> int:
    """The replicas that answer so many requests a second with room to spare, one lost included."""
    each = requests_per_second(costs, assumed.cores_a_replica) * assumed.utilisation
    return max(math.ceil(per_second / each) + assumed.spare_replicas, assumed.least_replicas)


def costs_of(figures: dict[str, Any]) -> Costs:
    """The costs that a benchmark measured."""
    beside = {figure["id"]: figure["beside"] for figure in figures["figures"]}
    return Costs(
        validation_s=beside["validation"]["median_validation_ms"] / 1e3,
        overhead_s=beside["prediction"]["overhead_ms"] / 1e3,
    )


def row(name: str, change_outs: float, costs: Costs, assumed: Assumptions) -> str:
    """A row of the sheet."""
    peak = peak_per_second(change_outs, assumed)
    cores = peak / requests_per_second(costs, 1)
    return f"| {name} | {change_outs:,.0f} | {peak:,.2f} | {cores:,.2f} | {replicas(peak, costs, assumed):,} |"


def sheet(figures: dict[str, Any], assumed: Assumptions) -> str:
    """The capacity sheet, in Markdown."""
    costs = costs_of(figures)
    prediction = next(figure for figure in figures["figures"] if figure["id"] == "prediction")
    beside = prediction["beside"]
    rows = "\n".join(row(name, change_outs, costs, assumed) for name, change_outs in SCALES)
    assumptions = "\n".join(
        f"| {entry.name.replace('_', ' ')} | {getattr(assumed, entry.name):g} |" for entry in fields(assumed)
    )
    return f"""\
# Capacity

Written by `python deploy/capacity.py tests/benchmarks/figures.json`; a test compares it with the figures.

A request for a full report on a dwelling of 30 circuits takes {1e3 * costs.validation_s:.1f} ms of a core to judge
and {1e3 * costs.overhead_s:.2f} ms for all else, so one core answers {requests_per_second(costs, 1):.0f} a second
when it does nothing else. Measured over HTTP on this machine: {beside["measured_per_second"]:.0f} a second
({prediction["value"]:.1f} % from what the sheet says).

Machine: {figures["machine"]}.

| scale | change-outs a year | requests a second at the peak | cores busy then | replicas |
|---|---|---|---|---|
{rows}

Replicas are those of one core each, filled to the share below, with one to spare, and never fewer than two.

## Assumptions

All are common practice, with no source; each can be given to the command (`--help`).

| assumption | value |
|---|---|
{assumptions}

The service keeps nothing, so replicas share nothing and their rates add up. The proxy in front is not counted. The
full report on a proposal of which half is unknown costs many times as much (`full-report` in the figures); where most
are like that, plan with that cost.
"""


def main() -> int:
    """Print the sheet, or the replicas for one load."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("figures", type=Path)
    parser.add_argument("--year", type=float, help="change-outs a year")
    for entry in fields(Assumptions):
        kind = int if isinstance(entry.default, int) else float
        parser.add_argument(f"--{entry.name.replace('_', '-')}", type=kind, default=entry.default)
    given = parser.parse_args()
    figures = json.loads(given.figures.read_text())
    assumed = Assumptions(**{entry.name: getattr(given, entry.name) for entry in fields(Assumptions)})
    if given.year is None:
        sys.stdout.write(sheet(figures, assumed))
    else:
        peak = peak_per_second(given.year, assumed)
        number = replicas(peak, costs_of(figures), assumed)
        sys.stdout.write(f"{number} replicas for {peak:,.2f} requests a second at the peak\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
