"""The fault-current calculation line by line, as a person can redo it with a pocket calculator."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from changeout.domain.calculation import Calculation, Result, Step
from changeout.domain.facts import Measurement
from changeout.domain.interval import Interval
from changeout.domain.proposal import Supply
from changeout.electrical.chain import Stage
from changeout.electrical.fault_current_remarks import assumptions, cautions, offset_and_tolerance
from changeout.electrical.impedance import advised_ohm, greatest_ohm, least_ohm
from changeout.electrical.network import FAULTS, Loop, seen_through_transformer
from changeout.electrical.points import ID, Point, Points, current_a, greatest_a, may_govern
from changeout.electrical.runs import COLD, RunImpedance
from changeout.electrical.source import TOLERANCE, Element
from changeout.electrical.steps import remark, shown, step
from changeout.electrical.systems import SYSTEMS

_TITLE: Final = "Available fault current at the panelboard"
_CIRCUIT_THEORY: Final = "circuit theory: voltage over the magnitude of the impedance"
_LOOP: Final = "the path of this fault: each impedance as often as the fault meets it"
_SPLIT: Final = "definition of X/R = k: R = Z / √(1 + k²), X = k R"
_NEAR: Final = (
    f"{TOLERANCE:g} of the nameplate %Z (the trade's usual allowance); conductors at 25 °C, "
    f"{COLD['copper']:.3f} of the resistance of copper and {COLD['aluminum']:.3f} of aluminum (usual temperature "
    "constants, from memory)"
)


_SAME: Final = 1e-9
"""Relative difference that the rounding of floating-point arithmetic makes, and nothing else."""

_REFERRED: Final = "referred with the square of the voltages: each line once, a single-phase unit the loop of two"
_DRIVES: Final = {
    1.0 / math.sqrt(3.0): "{} / √3",
    1.0: "{}",
    0.5: "{} / 2",
    math.sqrt(3.0) / 2.0: "{} x √3 / 2",
}


def calculation(
    supply: Supply, points: Points | None, result: Measurement, near_limit: Measurement, x_over_r: Measurement
) -> Calculation:
    """Return the calculation with its results per point and fault, its steps, assumptions and cautions."""
    if points is None:
        words = "no voltage, so no current: the supply system is not stated"
        return Calculation(
            id=ID,
            title=_TITLE,
            result=result,
            unit="A",
            steps=(remark("V", "nominal voltage", words, "supply system"),),
        )
    every = list(points)
    return Calculation(
        id=ID,
        title=_TITLE,
        result=result,
        unit="A",
        results=tuple(_results(every)),
        steps=(*_impedance_steps(points), *_current_steps(points, every), _near_step(points, every[-1], near_limit)),
        assumptions=(*assumptions(supply, points), *offset_and_tolerance(result, near_limit, x_over_r)),
        cautions=cautions(supply, points),
    )


def _results(every: list[Point]) -> Iterator[Result]:
    for point in every:
        for loop in point.loops:
            interval = current_a(loop, point.limits) + point.motors_a
            yield Result(at=point.at, name=loop.fault, interval=interval, unit="A")


def _impedance_steps(points: Points) -> Iterator[Step]:
    whole = points.chain
    primary, last, own = whole.primary, whole.secondary, whole.secondary.elements
    if primary is not None:
        yield from _stage_steps(primary, primary.elements, "p")
        yield from _before_steps(primary, last)
    if whole.supply.separately_derived is not None:
        own = tuple(element for element in own if element.role != "before")
    yield from _stage_steps(last, own, "")


def _stage_steps(stage: Stage, elements: tuple[Element, ...], suffix: str) -> Iterator[Step]:
    voltage = SYSTEMS[stage.system].line_to_line_v
    yield step(f"V{suffix}", "line-to-line voltage", shown(voltage), voltage, "V", f"system {stage.system}")
    for element in elements:
        yield from _element_steps(element, suffix, shown(voltage))
    for number, run in enumerate(stage.runs, start=1):
        yield from _run_steps(run, f"{suffix}{number}")


def _element_steps(element: Element, suffix: str, volts: str) -> Iterator[Step]:
    if element.role == "before" and element.impedance.is_nothing:
        yield step(f"Zs{suffix}", "source before the transformer", "0", 0.0, "ohm", "unlimited source, as stated")
        return
    symbol, name, expression, source = _element_texts(element, volts)
    symbol += suffix
    yield step(f"Z{symbol}", name, expression, element.magnitude_ohm, "ohm", source)
    if not element.impedance.is_bounded:
        return
    z, k = _in(element.magnitude_ohm), _in(element.x_over_r)
    r, x = element.impedance.resistance_ohm, element.impedance.reactance_ohm
    yield step(f"R{symbol}", f"{name}, resistance", f"{z} / √(1 + {k}²)", r, "ohm", _SPLIT)
    yield step(f"X{symbol}", f"{name}, reactance", f"{k} x {_in(r)}", x, "ohm", _SPLIT)


def _element_texts(element: Element, volts: str) -> tuple[str, str, str, str]:
    parts = [_in(part) for part in element.expression]
    if element.role == "unit":
        expression = f"{parts[0]} / 100 x {volts}² / {parts[1]}"
        return "t", "transformer at its secondary", expression, "definition of percent impedance"
    if element.role == "before":
        name, source = "source before the transformer, at its secondary", "short-circuit power: Z = V² / S"
        if element.magnitude_ohm.low == 0.0:
            return "s", name, shown(element.magnitude_ohm), f"nothing where it is unlimited; {source}"
        return "s", name, f"{volts}² / {parts[0]}", source
    place = "neutral" if element.role == "neutral" else "lines"
    symbol = "sn" if element.role == "neutral" else "s"
    if not parts:
        return symbol, f"source, {place}", "0 or more", "what the source gives is not known, so no bound is"
    expression = f"{parts[0]} / {parts[1]}"
    return symbol, f"source, {place}", expression, "stated current at its point: Z = voltage of the fault / current"


def _before_steps(primary: Stage, stage: Stage) -> Iterator[Step]:
    """Give the sum of what lies before a transformer on the premises, referred to its secondary."""
    lines, wires = seen_through_transformer(primary.system, stage.system)
    before = [element.impedance for element in stage.elements if element.role == "before"]
    facing = [element.impedance for element in primary.elements if element.role != "neutral"]
    own = [*((lines, z) for z in facing if not z.is_nothing), (wires, primary.conductors())]
    ratio = f"({shown(SYSTEMS[stage.system].line_to_line_v)} / {shown(SYSTEMS[primary.system].line_to_line_v)})²"
    name = "all before the transformer, as its secondary sees it"
    for symbol, values, terms in (
        ("Rb", [z.resistance_ohm for z in before], [(times, z.resistance_ohm) for times, z in own]),
        ("Xb", [z.reactance_ohm for z in before], [(times, z.reactance_ohm) for times, z in own]),
    ):
        total = sum(values, Interval.exactly(0.0))
        yield step(symbol, name, f"{ratio} x ({_terms(terms)})", total, "ohm", _REFERRED)


def _run_steps(run: RunImpedance, number: str) -> Iterator[Step]:
    origin = (
        f"Chapter 9 Table 9: {run.conductor}" if run.from_table else "stated in the proposal, or over the candidates"
    )
    length, sets = _in(run.length_ft), _in(run.sets)
    for symbol, name, per_kft, value in (
        ("R", "resistance", run.resistance, run.impedance.resistance_ohm),
        ("X", "reactance", run.reactance, run.impedance.reactance_ohm),
    ):
        yield step(
            f"{symbol}{number}",
            f"run {run.label}, {name} of one conductor, one way",
            f"{_in(per_kft)} x {length} / (1000 x {sets})",
            value,
            "ohm",
            origin,
        )


def _current_steps(points: Points, every: list[Point]) -> Iterator[Step]:
    for number, point in enumerate(every):
        yield from _conductor_steps(point, number)
        for loop in point.loops:
            yield from _loop_steps(point, loop, f"{number},{_short(loop.fault)}", is_last=point is every[-1])
    motors, last = points.motors, every[-1]
    full_load, multiplier = _in(motors.full_load_a), _in(motors.multiplier)
    source = motors.assumption or "running motors feed the fault: multiplier x full-load current, added arithmetically"
    yield step("Im", "motors", f"{multiplier} x {full_load}", motors.current_a, "A", source)
    currents = [current_a(loop, last.limits) for loop in last.loops]
    governing, network = may_govern(last.loops, currents), greatest_a(currents)
    found = ", ".join(_in(current) for current in currents)
    yield step(
        "I",
        f"governing at the panelboard: {' or '.join(loop.fault for loop in governing)}, with motors",
        f"max({found}) + {_in(motors.current_a)}",
        network + motors.current_a,
        "A",
        "the greatest of all faults governs",
    )


def _conductor_steps(point: Point, number: int) -> Iterator[Step]:
    if len(point.runs) < 2:
        return
    name = f"all conductors to {point.at}, one way"
    for symbol, values in (
        ("R", [run.impedance.resistance_ohm for run in point.runs]),
        ("X", [run.impedance.reactance_ohm for run in point.runs]),
    ):
        terms = [(1.0, value) for value in values]
        yield step(f"{symbol}c{number}", name, _terms(terms), _sum(terms), "ohm", "runs in series add")


def _short(fault: str) -> str:
    return {"three-phase": "3ph", "line to line": "LL", "line to neutral": "LN"}.get(fault, "HN")


def _loop_steps(point: Point, loop: Loop, index: str, *, is_last: bool) -> Iterator[Step]:
    where = f"{loop.fault}, {point.at}"
    r = [(weight, z.resistance_ohm) for z, weight, _ in loop.parts]
    x = [(weight, z.reactance_ohm) for z, _, weight in loop.parts]
    total_r, total_x = _terms(r), _terms(x)
    if is_last:
        yield step(f"R({index})", f"resistance met: {where}", total_r, _sum(r), "ohm", _LOOP)
        yield step(f"X({index})", f"reactance met: {where}", total_x, _sum(x), "ohm", _LOOP)
        total_r, total_x = shown(_sum(r)), shown(_sum(x))
    ohms = Interval(least_ohm(loop.parts), greatest_ohm(loop.parts))
    source = "√(R² + X²)" if ohms.is_point else "least and greatest √(R² + X²) over what is not known"
    yield step(f"Z({index})", f"impedance met: {where}", f"√(({total_r})² + ({total_x})²)", ohms, "ohm", source)
    interval = current_a(loop, point.limits)
    limited = "" if interval == loop.current_a else ", limited by the local ceiling"
    expression = f"{_driven_by(point, loop)} / {_in(ohms)}"
    yield step(f"I({index})", f"current without motors: {where}", expression, interval, "A", _CIRCUIT_THEORY + limited)


def _in(value: float | Interval) -> str:
    text = shown(value)
    return f"({text})" if " " in text else text


def _sum(terms: list[tuple[float, Interval]]) -> Interval:
    return sum((value * weight for weight, value in terms), Interval.exactly(0.0))


def _terms(terms: list[tuple[float, Interval]]) -> str:
    return (
        " + ".join((_in(value) if weight == 1.0 else f"{weight:.6g} x {_in(value)}") for weight, value in terms) or "0"
    )


def _near_step(points: Points, last: Point, near_limit: Measurement) -> Step:
    name = "upper end with nameplate tolerance and cold conductors"
    written = _near_written(last, points.motors.current_a.high, near_limit.high)
    return step("In", name, written or "I, upper end, with those impedances", near_limit.interval, "A", _NEAR)


def _near_written(point: Point, motors_a: float, found_a: float) -> str | None:
    """Return the upper end as it is computed by hand; None where an impedance has several vectors, or a limit holds."""
    loop = max(point.loops, key=lambda one: one.most_a(advised_ohm(one.parts)))
    ohms = advised_ohm(loop.parts)
    if not ohms or not math.isclose(loop.drive_v / ohms + motors_a, found_a, rel_tol=_SAME):
        return None
    if any(len(z.advised) != 1 for z, _, _ in loop.parts):
        return None
    r = [(weight, Interval.exactly(z.advised[0].real)) for z, weight, _ in loop.parts]
    x = [(weight, Interval.exactly(z.advised[0].imag)) for z, _, weight in loop.parts]
    return f"{_driven_by(point, loop)} / √(({_terms(r)})² + ({_terms(x)})²) + {shown(motors_a)}"


def _driven_by(point: Point, loop: Loop) -> str:
    drive = next(fault.drive for fault in FAULTS[point.system] if fault.name == loop.fault)
    return _DRIVES[drive].format(shown(SYSTEMS[point.system].line_to_line_v))
