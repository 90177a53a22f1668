"""Fully known supplies drawn at random, over every system and source, with and without a transformer on the premises."""

from __future__ import annotations

import random
from typing import Any

from electrical.fault_supplies import SYSTEMS

CENTRE_TAPPED = "120/240V-1ph-3w"
PRIMARIES = dict.fromkeys(
    SYSTEMS, ("480Y/277V-3ph-4w", "480V-3ph-3w", "208Y/120V-3ph-4w", "240/120V-3ph-4w-high-leg", "240V-3ph-3w")
)
PRIMARIES[CENTRE_TAPPED] += (CENTRE_TAPPED, "120/208V-1ph-3w")
SIZES = (
    "12 AWG",
    "6 AWG",
    "2 AWG",
    "1/0 AWG",
    "3/0 AWG",
    "4/0 AWG",
    "250 kcmil",
    "350 kcmil",
    "500 kcmil",
    "750 kcmil",
)


def draw(seed: int, system: str | None = None) -> dict[str, Any]:
    """Return the supply of the given seed, with conductors by their ohms."""
    rng = random.Random(seed)
    own = system or SYSTEMS[seed % len(SYSTEMS)]
    spec: dict[str, Any] = {
        "system": own,
        "runs": [_run(rng) for _ in range(rng.randint(0, 3))],
        "motor_full_load_current_a": 0.0,
        "source": _source(rng),
    }
    if rng.random() < 0.35:
        spec["separately_derived"] = {
            **_unit(rng, rng.choice([15e3, 30e3, 45e3, 75e3, 112.5e3, 225e3])),
            "primary_system": rng.choice(PRIMARIES[own]),
            "primary_runs": [_run(rng) for _ in range(rng.randint(0, 2))],
        }
    return spec


def _unit(rng: random.Random, rating_va: float) -> dict[str, float]:
    return {
        "rating_va": rating_va,
        "impedance_percent": round(rng.uniform(1.2, 6.5), 2),
        "x_over_r": round(rng.uniform(0.5, 9.0), 2),
    }


def _source(rng: random.Random) -> dict[str, Any]:
    if rng.random() < 0.3:
        return {
            "kind": "stated",
            "available_fault_current_a": round(rng.uniform(3e3, 90e3)),
            "fault_type": "greatest",
            "x_over_r": round(rng.uniform(0.5, 9.0), 2),
        }
    upstream: dict[str, Any] = {"kind": "unlimited"}
    if rng.random() < 0.6:
        power = 10.0 ** rng.uniform(6.7, 9.0)
        upstream = {"kind": "short-circuit-power", "value_va": power, "x_over_r": round(rng.uniform(1.0, 15.0), 2)}
    unit = _unit(rng, rng.choice([25e3, 50e3, 75e3, 150e3, 300e3, 500e3, 1000e3, 2000e3]))
    return {"kind": "transformer", **unit, "upstream": upstream}


def _run(rng: random.Random) -> dict[str, Any]:
    return {
        "length_in": 12.0 * round(rng.uniform(3.0, 250.0), 1),
        "sets": rng.choice([1, 1, 1, 2, 3]),
        "resistance_ohm_per_kft": round(10.0 ** rng.uniform(-1.7, 0.2), 4),
        "reactance_ohm_per_kft": round(rng.uniform(0.036, 0.07), 4),
    }


def printed_run(rng: random.Random) -> dict[str, Any]:
    """Return a run by size, material and raceway, as the table prints it."""
    return {
        "length_in": 12.0 * round(rng.uniform(1.0, 250.0), 1),
        "sets": rng.choice([1, 1, 2, 3]),
        "size": rng.choice(SIZES),
        "material": rng.choice(["copper", "aluminum"]),
        "raceway": rng.choice(["steel", "aluminum", "nonmetallic"]),
    }
