"""The same supplies in a circuit simulator: every wire, every unit and every winding a thing of its own.

Nothing of the formulas under test is used: impedances go in as ohms or as a nameplate's percent, the fault is a
short of 0.1 microohm between two nodes, and the current through it is read off the solution.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import opendssdirect as dss

Spec = Mapping[str, Any]

VOLTS = {
    "120/240V-1ph-3w": 240.0,
    "120/208V-1ph-3w": 208.0,
    "208Y/120V-3ph-4w": 208.0,
    "480Y/277V-3ph-4w": 480.0,
    "240/120V-3ph-4w-high-leg": 240.0,
    "240V-3ph-3w": 240.0,
    "480V-3ph-3w": 480.0,
}
_WYES = {"120/208V-1ph-3w", "208Y/120V-3ph-4w", "480Y/277V-3ph-4w"}
_DELTAS = {"240V-3ph-3w", "480V-3ph-3w"}
_PRIMARY_V = 12_470.0
_SHORT_OHM = 1e-7
_NEUTRAL = 4


def _split(ohms: float, x_over_r: float) -> tuple[float, float]:
    angle = math.atan(x_over_r)
    return ohms * math.cos(angle), ohms * math.sin(angle)


def _nodes(system: str) -> tuple[int, ...]:
    """Return the nodes of the wires that go to the panelboard: lines 1 to 3, neutral 4."""
    if system in _DELTAS:
        return (1, 2, 3)
    if system in {"120/240V-1ph-3w", "120/208V-1ph-3w"}:
        return (1, 2, _NEUTRAL)
    return (1, 2, 3, _NEUTRAL)


def _faults(system: str) -> dict[str, Sequence[tuple[int, int]]]:
    """Return the pairs of nodes that each fault shorts."""
    if system == "120/240V-1ph-3w":
        return {"line to line": [(1, 2)], "line to neutral": [(1, _NEUTRAL)]}
    if system == "120/208V-1ph-3w":
        return {"line to line": [(1, 2)], "line to neutral": [(2, _NEUTRAL)]}
    found: dict[str, Sequence[tuple[int, int]]] = {"three-phase": [(1, 2), (1, 3)], "line to line": [(2, 3)]}
    if system == "240/120V-3ph-4w-high-leg":
        return {**found, "line to neutral": [(1, _NEUTRAL)], "high leg to neutral": [(2, _NEUTRAL)]}
    return found if system in _DELTAS else {**found, "line to neutral": [(3, _NEUTRAL)]}


def currents(spec: Spec) -> dict[str, float]:
    """Return the current of every fault at the panelboard of a fully known supply, in amperes, without motors."""
    found = {}
    for fault, pairs in _faults(spec["system"]).items():
        shorts = _solve(spec, fault, pairs)
        found[fault] = abs(sum(shorts))
    return found


def two_lines_and_neutral(spec: Spec) -> float:
    """Return the greatest current of one line in any fault of two lines and the neutral together."""
    lines = [node for node in _nodes(spec["system"]) if node != _NEUTRAL]
    pairs = [[(one, _NEUTRAL), (other, _NEUTRAL)] for one in lines for other in lines if one < other]
    return max(abs(current) for pair in pairs for current in _solve(spec, "", pair))


def _solve(spec: Spec, fault: str, pairs: Sequence[tuple[int, int]]) -> list[complex]:
    derived = spec.get("separately_derived")
    first = derived["primary_system"] if derived else spec["system"]
    to_neutral = "" if derived or not fault.endswith("neutral") else fault
    commands = ["clear", *_source(first, spec["source"], to_neutral)]
    bus = "s0"
    for number, run in enumerate(derived["primary_runs"] if derived else spec["runs"], start=1):
        commands += _wires(first, bus, f"s{number}", run)
        bus = f"s{number}"
    if derived:
        commands += _unit(spec["system"], derived, (bus, VOLTS[first], "lines"), "t0")
        bus = "t0"
        for number, run in enumerate(spec["runs"], start=1):
            commands += _wires(spec["system"], bus, f"t{number}", run)
            bus = f"t{number}"
    for index, (one, other) in enumerate(pairs):
        commands.append(f"new reactor.short{index} phases=1 bus1={bus}.{one} bus2={bus}.{other} r={_SHORT_OHM} x=0")
    commands += ["set mode=direct", "calcvoltagebases", "solve"]
    for command in commands:
        dss.Text.Command(command)
    return [_phasor(f"reactor.short{index}") for index in range(len(pairs))]


def _phasor(element: str) -> complex:
    dss.Circuit.SetActiveElement(element)
    real, imaginary = dss.CktElement.Currents()[:2]
    return complex(real, imaginary)


def _circuit(name: str, kv: float, ohms: tuple[float, float], phases: int) -> str:
    r, x = ohms
    return (
        f"new circuit.{name} basekv={kv!r} pu=1.0 angle=0 phases={phases} bus1=hv Z1=[{r!r}, {x!r}] Z0=[{r!r}, {x!r}] "
    )


def _source(system: str, source: Spec, to_neutral: str) -> Iterator[str]:
    if source["kind"] == "stated":
        yield from _stated(system, source, to_neutral)
        return
    upstream = source["upstream"]
    ohms = (1e-5, 1e-5)
    if upstream["kind"] != "unlimited":
        ohms = _split(_PRIMARY_V**2 / upstream["value_va"], upstream["x_over_r"])
    single = system == "120/240V-1ph-3w"
    yield _circuit("net", _PRIMARY_V / 1e3, ohms, 1 if single else 3)
    yield from _unit(system, source, ("hv", _PRIMARY_V, "one" if single else "lines"), "s0")


def _stated(system: str, source: Spec, to_neutral: str) -> Iterator[str]:
    """Give a source of the stated current at its point: in a fault to neutral of a tapped system, one of its own."""
    volts, k = VOLTS[system], source["x_over_r"]
    amperes = source["available_fault_current_a"]
    if system == "120/240V-1ph-3w":
        if to_neutral:
            amperes = source.get("line_to_neutral_fault_current_a") or amperes
        r, x = _split(120.0 / amperes, k)
        halves = f"basekv=0.12 pu=1 phases=1 Z1=[{r!r}, {x!r}] Z0=[{r!r}, {x!r}]"
        yield f"new circuit.net {halves} angle=0 bus1=s0.1 bus2=s0.4"
        yield f"new vsource.other {halves} angle=180 bus1=s0.2 bus2=s0.4"
        yield "new reactor.ground phases=1 bus1=s0.4 bus2=s0.0 r=1 x=0"
        return
    if system == "240/120V-3ph-4w-high-leg" and to_neutral:
        line, own = (2, 120.0 * math.sqrt(3.0)) if to_neutral == "high leg to neutral" else (1, 120.0)
        r, x = _split(own / amperes, k)
        yield (
            f"new circuit.net basekv={own / 1e3!r} pu=1 phases=1 bus1=s0.{line} bus2=s0.4 "
            f"Z1=[{r!r}, {x!r}] Z0=[{r!r}, {x!r}]"
        )
        yield from (f"new reactor.ground{node} phases=1 bus1=s0.{node} bus2=s0.0 r=1e5 x=0" for node in (1, 2, 3, 4))
        return
    r, x = _split(volts / math.sqrt(3.0) / amperes, k)
    yield (
        f"new circuit.net basekv={volts / 1e3!r} pu=1 angle=0 phases=3 bus1=s0.1.2.3 bus2=s0.4.4.4 "
        f"Z1=[{r!r}, {x!r}] Z0=[{r!r}, {x!r}]"
    )
    yield "new reactor.ground phases=1 bus1=s0.4 bus2=s0.0 r=1 x=0"


def _unit(system: str, unit: Spec, primary: tuple[str, float, str], bus: str) -> Iterator[str]:
    """Give a transformer from the primary (bus, volts, which wires) to *system* at *bus*."""
    hv, hv_v, wires = primary
    kva, hv_kv, kv = unit["rating_va"] / 1e3, hv_v / 1e3, VOLTS[system] / 1e3
    r, x = _split(unit["impedance_percent"], unit["x_over_r"])
    ideal = "%noloadloss=0 %imag=0"
    two = f"windings=2 xhl={x!r} %rs=({r / 2!r}, {r / 2!r}) {ideal}"
    three = f"windings=3 xhl={1.2 * x!r} xht={1.2 * x!r} xlt={0.8 * x!r} %rs=({r / 2!r}, {r!r}, {r!r}) {ideal}"
    if system in _WYES or system in _DELTAS:
        to = "wye" if system in _WYES else "delta"
        low = f"{bus}.1.2.3.4" if system in _WYES else f"{bus}.1.2.3"
        yield (
            f"new transformer.{bus} phases=3 {two} buses=({hv}.1.2.3, {low}) conns=(delta, {to}) "
            f"kvs=({hv_kv!r}, {kv!r}) kvas=({kva!r}, {kva!r})"
        )
    elif system == "120/240V-1ph-3w":
        high = f"{hv}.1.0" if wires == "one" else f"{hv}.1.2"
        yield (
            f"new transformer.{bus} phases=1 {three} buses=({high}, {bus}.1.4, {bus}.4.2) "
            f"kvs=({hv_kv!r}, 0.12, 0.12) kvas=({kva!r}, {kva!r}, {kva!r})"
        )
    else:
        own = kva / 3.0
        for number, (one, other) in enumerate(((1, 2), (2, 3))):
            yield (
                f"new transformer.{bus}{number} phases=1 {two} buses=({hv}.{one}.{other}, {bus}.{one}.{other}) "
                f"kvs=({hv_kv!r}, {kv!r}) kvas=({own!r}, {own!r})"
            )
        yield (
            f"new transformer.{bus}2 phases=1 {three} buses=({hv}.3.1, {bus}.3.4, {bus}.4.1) "
            f"kvs=({hv_kv!r}, 0.12, 0.12) kvas=({own!r}, {own!r}, {own!r})"
        )
    if system in _DELTAS:
        yield f"new reactor.ground{bus} phases=1 bus1={bus}.2 bus2={bus}.0 r=1000 x=0"
    else:
        yield f"new reactor.ground{bus} phases=1 bus1={bus}.4 bus2={bus}.0 r=1 x=0"


def _wires(system: str, start: str, end: str, run: Spec) -> Iterator[str]:
    r = run["resistance_ohm_per_kft"] * run["length_in"] / 12_000.0
    x = run["reactance_ohm_per_kft"] * run["length_in"] / 12_000.0
    for node in _nodes(system):
        for number in range(int(run["sets"])):
            yield f"new reactor.{start}{end}{node}x{number} phases=1 bus1={start}.{node} bus2={end}.{node} r={r!r} x={x!r}"
