"""Supplies for the fault-current tests: written with plain numbers in base units, None for what nobody states."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from changeout.domain.facts import Choice, ConductorSize, Day, Document, Evidence, Flag, Listed, Number, Text
from changeout.domain.proposal import OvercurrentDevice, Run, SeparatelyDerived, Source, Supply, Upstream
from changeout.domain.truth import Truth
from changeout.electrical.fault_current import Ceiling, FaultContext

RANGES: Mapping[str, tuple[float, float]] = {
    "rating_va": (1e3, 1e8),
    "impedance_percent": (0.1, 20.0),
    "x_over_r": (0.01, 100.0),
    "value_va": (1e4, 1e12),
    "available_fault_current_a": (1.0, 500e3),
    "line_to_neutral_fault_current_a": (1.0, 500e3),
    "length_in": (0.0, 633_600.0),
    "sets": (1.0, 20.0),
    "resistance_ohm_per_kft": (1e-4, 20.0),
    "reactance_ohm_per_kft": (1e-4, 1.0),
    "motor_full_load_current_a": (0.0, 10e3),
    "motor_multiplier": (1.0, 10.0),
    "busbar_rating_a": (15.0, 6000.0),
}
"""What each number can be where nobody states it: ranges of the tests' own."""

SYSTEMS = (
    "120/240V-1ph-3w",
    "120/208V-1ph-3w",
    "208Y/120V-3ph-4w",
    "480Y/277V-3ph-4w",
    "240/120V-3ph-4w-high-leg",
    "240V-3ph-3w",
    "480V-3ph-3w",
)
Spec = Mapping[str, Any]


def number(at: str, name: str, value: float | None) -> Number:
    """Return a stated number, or one anywhere in its range."""
    if value is None:
        low, high = RANGES.get(name, (0.0, 1e9))
        return Number(at, low, high)
    return Number(at, float(value), float(value), float(value))


def _leaf(name: str) -> str:
    return (
        name.rsplit("_", 1)[0]
        if name.rsplit("_", 1)[-1] in {"va", "a", "in", "degc"}
        else name.replace("_ohm_per_kft", "")
    )


def _numbers(at: str, spec: Spec, *names: str) -> dict[str, Number]:
    return {name: number(f"{at}/{_leaf(name)}", name, spec.get(name)) for name in names}


def run(at: str, spec: Spec) -> Run:
    """Return a run."""
    return Run(
        at=at,
        id=Text(f"{at}/id", spec.get("id")),
        size=ConductorSize(f"{at}/size", spec.get("size")),
        material=Choice(f"{at}/material", spec.get("material")),
        raceway=Choice(f"{at}/raceway", spec.get("raceway")),
        insulation_temperature_degc=number(f"{at}/insulation_temperature", "", None),
        ambient_temperature_degc=number(f"{at}/ambient_temperature", "", None),
        current_carrying_conductors=number(f"{at}/current_carrying_conductors", "", None),
        device_after=None,
        **_numbers(at, spec, "length_in", "sets", "resistance_ohm_per_kft", "reactance_ohm_per_kft"),
    )


def runs(at: str, specs: Sequence[Spec] | None) -> Listed[Run]:
    """Return a list of runs, or one that nobody states."""
    found = tuple(run(f"{at}/{index}", spec) for index, spec in enumerate(specs or ()))
    return Listed(at, found, specs is not None)


def source(spec: Spec) -> Source:
    """Return a source."""
    at = "/supply/source"
    upstream = spec.get("upstream") or {}
    return Source(
        at=at,
        kind=Choice(f"{at}/kind", spec.get("kind")),
        bank=Choice(f"{at}/bank", spec.get("bank")),
        upstream=Upstream(
            at=f"{at}/upstream",
            kind=Choice(f"{at}/upstream/kind", upstream.get("kind")),
            value_va=number(f"{at}/upstream/value", "value_va", upstream.get("value_va")),
            x_over_r=number(f"{at}/upstream/x_over_r", "x_over_r", upstream.get("x_over_r")),
        ),
        fault_type=Choice(f"{at}/fault_type", spec.get("fault_type")),
        stated_by=Text(f"{at}/stated_by", None),
        dated=Day(f"{at}/dated", dt.date(2026, 1, 15) if spec.get("letter") else None),
        document=Evidence(f"{at}/document", _letter() if spec.get("letter") else None),
        **_numbers(
            at,
            spec,
            "rating_va",
            "impedance_percent",
            "x_over_r",
            "available_fault_current_a",
            "line_to_neutral_fault_current_a",
        ),
    )


def _letter() -> Document:
    at = "/documents/0"
    kind, title = Choice(f"{at}/kind", "utility-letter"), Text(f"{at}/title", None)
    return Document(at=at, id="d1", kind=kind, title=title, dated=Day(f"{at}/dated", None))


def derived(spec: Spec | None) -> SeparatelyDerived | None:
    """Return a transformer on the premises, if there is one."""
    if spec is None:
        return None
    at = "/supply/separately_derived"
    return SeparatelyDerived(
        at=at,
        primary_system=Choice(f"{at}/primary_system", spec.get("primary_system")),
        primary_runs=runs(f"{at}/primary_runs", spec.get("primary_runs")),
        **_numbers(at, spec, "rating_va", "impedance_percent", "x_over_r"),
    )


def supply(spec: Spec) -> Supply:
    """Return a supply."""
    at = "/supply"
    device: OvercurrentDevice | None = None
    unknown = {
        name: Flag(f"{at}/{name}", Truth.UNKNOWN)
        for name in ("carries_entire_dwelling_load", "separate_building", "tap", "conductors_upsized")
    }
    return Supply(
        at=at,
        system=Choice(f"{at}/system", spec.get("system")),
        source=source(spec.get("source") or {}),
        runs=runs(f"{at}/runs", spec.get("runs")),
        separately_derived=derived(spec.get("separately_derived")),
        overcurrent_device=device,
        upsized_from=ConductorSize(f"{at}/upsized_from", None),
        system_grounding=Choice(f"{at}/system_grounding", None),
        building=Choice(f"{at}/building", None),
        tap_rule=Choice(f"{at}/tap_rule", None),
        tap_length_in=number(f"{at}/tap_length", "", None),
        **_numbers(at, spec, "motor_full_load_current_a", "motor_multiplier"),
        **unknown,
    )


def context(
    occupancy: str = "one-family-dwelling", busbar_a: float | None = 200.0, ceiling: Ceiling | None = None
) -> FaultContext:
    """Return what a fault current needs besides."""
    busbar = number("/panelboard/busbar_rating", "busbar_rating_a", busbar_a)
    return FaultContext(occupancy=occupancy, busbar_rating_a=busbar, ceiling=ceiling)
