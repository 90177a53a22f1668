"""Measures how far the calculations are from what they are checked against.

``python tests/docs/measure_calculations.py`` prints the rows of the second table of
``service/changeout/docs/calculations.md``; a test compares them with what stands there.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from changeout.electrical import hand_method
from changeout.electrical.fault_current import available_fault_current
from electrical import conductor_examples, load_examples
from electrical.fault_supplies import context, supply
from electrical.hand_figures import CASES, by_hand
from electrical.published_networks import PUBLISHED, simple
from electrical.random_supplies import draw
from electrical.reference_networks import cases, supply_spec
from electrical.simulated_supply import currents

NETWORKS = 200
FIRST_SEED = 5000

REFERENCE_NAMES = {
    "three-phase": "three_phase",
    "line to line": "line_line",
    "line to neutral": "line_neutral",
    "high leg to neutral": "high_leg_neutral",
}
EXAMPLE_KINDS = {
    "ampacity": "ampacity",
    "ocpd": "devices for conductors",
    "gec": "grounding electrode conductors and bonding jumpers",
    "egc": "equipment grounding conductors",
    "backfeed": "busbar sums",
    "fill": "raceway fill",
    "bending": "wire-bending space",
    "working-space": "working space",
}


OWN = "examples from memory, or worked by hand for this project"


@dataclass(frozen=True)
class Measured:
    """A row of the table: what was checked against what, how many figures, and the differences in percent."""

    calculation: str
    against: str
    figures: int
    lowest_percent: float
    highest_percent: float
    is_range: bool = False

    @property
    def difference(self) -> str:
        if self.is_range:
            return f"{self.lowest_percent:.1f} % to {self.highest_percent:.1f} %"
        return f"{max(abs(self.lowest_percent), abs(self.highest_percent)):.3f} %"

    def row(self) -> str:
        return f"| {self.calculation} | {self.against} | {self.figures} | {self.difference} |"


def measured() -> list[Measured]:
    """Return every row, measured now."""
    return [
        _row("fault current", "networks solved with OpenDSS and pandapower", list(_reference())),
        _row("fault current", f"OpenDSS, solving {NETWORKS} networks drawn at random", list(_simulated())),
        _row("fault current", "published figures", list(_published())),
        _row("fault current", "the trade's point-to-point method on the same ohms", list(_by_hand()), is_range=True),
        *_load_rows(),
        *_conductor_rows(),
    ]


def _row(calculation: str, against: str, percents: Sequence[float], *, is_range: bool = False) -> Measured:
    return Measured(calculation, against, len(percents), min(percents), max(percents), is_range)


def _at_panelboard(spec: Mapping[str, Any]) -> dict[str, float]:
    found = available_fault_current(supply(spec), context("commercial")).calculation()
    return {result.name: result.interval.low for result in found.results if result.at == "panelboard"}


def _percent(found: float, expected: float) -> float:
    return 100.0 * (found / expected - 1.0) if expected else 100.0 * found


def _reference() -> Iterator[float]:
    for case in cases()["oracle"]:
        own_ratio = case["input"]["source"].get("x_over_r_line_neutral")
        for fault, found in _at_panelboard(supply_spec(case)).items():
            if own_ratio and fault == "line to neutral":
                continue  # a proposal states one X/R for its source
            for prefix in ("", "pandapower_"):
                expected = case["expected"].get(f"{prefix}{REFERENCE_NAMES[fault]}_a")
                if expected:
                    yield _percent(found, expected)


def _published() -> Iterator[float]:
    for case in PUBLISHED.values():
        expected = case["expected"]
        figure = expected.get("three_phase_a", expected.get("line_line_a"))
        # motors are added to some, and the hand method's own worksheets are no networks
        if figure and "motors_mva_sc" not in case["input"] and case["input"].get("method") != "hand":
            yield _percent(simple(case["input"]), figure)


def _simulated() -> Iterator[float]:
    for seed in range(FIRST_SEED, FIRST_SEED + NETWORKS):
        spec = draw(seed)
        found = _at_panelboard(spec)
        yield from (_percent(found[fault], expected) for fault, expected in currents(spec).items())


def _by_hand() -> Iterator[float]:
    for case in CASES:
        first: hand_method.FaultType = "three-phase" if "3ph" in case["input"]["system"] else "line to line"
        yield _percent(by_hand(case["input"], first), _at_panelboard(supply_spec(case))[first])


def _load_rows() -> Iterator[Measured]:
    found = {True: [], False: []}
    for example in load_examples.EXAMPLES.values():
        for edition in example["editions"]:
            answers = load_examples.answers_of(example, edition)
            found[_is_published(example)] += _differences(answers, example["expected"])
    yield _row("load", "published examples", found[True])
    yield _row("load", OWN, found[False])


def _conductor_rows() -> Iterator[Measured]:
    for kind, name in EXAMPLE_KINDS.items():
        examples = [example for example in conductor_examples.EXAMPLES if example["kind"] == kind]
        for published, against in ((True, "published examples"), (False, OWN)):
            percents = [
                percent
                for example in examples
                if _is_published(example) is published
                for percent in _differences(
                    conductor_examples.CALCULATIONS[kind](example["input"], *example["editions"]), example["expected"]
                )
            ]
            if percents:
                yield _row(name, against, percents)


def _is_published(example: Mapping[str, Any]) -> bool:
    return bool(example["confidence"].startswith("published"))


def _differences(answers: Mapping[str, Any], expected: Mapping[str, Any]) -> list[float]:
    """Return the difference of every figure in percent; a size or a yes and no is equal (0) or everything (infinite)."""
    found = []
    for name, value in expected.items():
        if isinstance(value, bool | str):
            found.append(0.0 if answers[name] == value else math.inf)
        else:
            found.append(_percent(answers[name], value))
    return found


def main() -> None:
    """Print the rows."""
    for row in measured():
        sys.stdout.write(row.row() + "\n")


if __name__ == "__main__":
    main()
