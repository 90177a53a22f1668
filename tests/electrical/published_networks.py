"""The published networks of ``reference/fault-current-cases.json``, computed by the core alone from plain numbers."""

from __future__ import annotations

import math
from typing import Any

from changeout.domain.interval import Interval
from changeout.electrical.impedance import NOTHING, Impedance, box, in_series, polar
from changeout.electrical.network import FAULTS, conductor_ohm, loops, source_ohm, transformer_ohm
from electrical.reference_networks import cases

PUBLISHED = {case["id"]: case for case in cases()["published"]}


def exactly(value: float) -> Interval:
    return Interval.exactly(value)


def conductors(segments: list[dict[str, Any]]) -> Impedance:
    runs = [
        box(*(exactly(conductor_ohm(s[key], s["length_ft"], s["sets"])) for key in ("r_ohm_per_kft", "x_ohm_per_kft")))
        for s in segments
    ]
    return in_series(runs) if runs else NOTHING


def simple(given: dict[str, Any]) -> float:
    """Return the fault current of a published network: three-phase, or line to line of a single-phase unit."""
    line_v, source, unit = given["line_to_line_v"], given["source"], given["transformer"]
    ratio = unit["x_over_r"]
    k = exactly(math.inf if ratio == "all reactance" else 3.0 if ratio is None else ratio)
    elements: list[Any] = []
    if source["kind"] == "short-circuit-power":
        elements.append(("before", polar(exactly(source_ohm(line_v, source["mva_sc"] * 1e6)), k)))
    ohms = transformer_ohm(line_v, unit["percent_z"], unit["kva"] * 1e3)
    elements.append(("unit", polar(exactly(ohms), k)))
    system = "120/240V-1ph-3w" if given.get("system") == "120/240V-1ph-3w" else "480V-3ph-3w"
    first = loops(FAULTS[system], line_v, elements, conductors(given["segments"]))[0]
    assert first.current_a.value is not None
    return first.current_a.value
