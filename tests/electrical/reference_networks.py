"""The networks of ``reference/fault-current-cases.json`` as supplies of the tests."""

from __future__ import annotations

import functools
import json
from pathlib import Path
from typing import Any

_FILE = Path(__file__).parent.parent / "reference" / "fault-current-cases.json"


@functools.cache
def cases() -> dict[str, Any]:
    """Return the file's content."""
    return dict(json.loads(_FILE.read_text(encoding="utf-8")))


def supply_spec(case: dict[str, Any]) -> dict[str, Any]:
    """Return a case's network, motors left out."""
    given = case["input"]
    return {
        "system": given["system"],
        "source": _source(given),
        "runs": [_run(segment) for segment in given["segments"]],
        "motor_full_load_current_a": 0.0,
    }


def _source(given: dict[str, Any]) -> dict[str, Any]:
    source, unit = given["source"], given["transformer"]
    if source["kind"] == "stated":
        return {
            "kind": "stated",
            "available_fault_current_a": source["amps"],
            "line_to_neutral_fault_current_a": source.get("amps_line_neutral"),
            "x_over_r": source["x_over_r"],
        }
    upstream: dict[str, Any] = {"kind": source["kind"]}
    if source["kind"] == "short-circuit-power":
        upstream |= {"value_va": source["mva_sc"] * 1e6, "x_over_r": source["x_over_r"]}
    return {
        "kind": "transformer",
        "rating_va": unit["kva"] * 1e3,
        "impedance_percent": unit["percent_z"],
        "x_over_r": unit["x_over_r"],
        "upstream": upstream,
    }


def _run(segment: dict[str, Any]) -> dict[str, Any]:
    return {
        "length_in": segment["length_ft"] * 12.0,
        "sets": segment["sets"],
        "resistance_ohm_per_kft": segment["r_ohm_per_kft"],
        "reactance_ohm_per_kft": segment["x_ohm_per_kft"],
    }
