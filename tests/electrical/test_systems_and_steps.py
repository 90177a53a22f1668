"""Supply systems, volt-amperes to amperes, and the lines of a calculation."""

import math
import types

import pytest

from changeout.domain.interval import Interval
from changeout.electrical.bounds import hull_of, no_more_than, resting_on
from changeout.electrical.steps import remark, shown, step
from changeout.electrical.systems import SYSTEMS, amperes, ground_voltage_v, va_per_ampere, voltage_to_ground
from electrical.conductor_facts import choice, number


@pytest.mark.parametrize(
    ("name", "va", "expected"),
    [
        ("120/240V-1ph-3w", 24000, 100),  # / 240
        ("120/208V-1ph-3w", 20800, 100),  # / 208
        ("208Y/120V-3ph-4w", 36026.66, 100),  # / (1.7320508 x 208)
        ("480Y/277V-3ph-4w", 83138.44, 100),
        ("240/120V-3ph-4w-high-leg", 41569.22, 100),
        ("240V-3ph-3w", 41569.22, 100),
        ("480V-3ph-3w", 83138.44, 100),
    ],
)
def test_amperes(name, va, expected):
    assert amperes(va, name) == pytest.approx(expected, rel=1e-6)
    assert amperes(va_per_ampere(name), name) == pytest.approx(1.0)


def test_every_system_has_its_voltages():
    assert len(SYSTEMS) == 7
    for name, system in SYSTEMS.items():
        assert system.is_three_phase is ("3ph" in name)
        assert f"{system.line_to_line_v:.0f}" in name
        assert (system.line_to_neutral_v is None) is ("3ph-3w" in name)
        assert (system.high_leg_v is not None) is ("high-leg" in name)
    assert SYSTEMS["480Y/277V-3ph-4w"].line_to_neutral_v == pytest.approx(277.128, abs=0.001)
    assert SYSTEMS["120/208V-1ph-3w"].line_to_neutral_v == pytest.approx(120.089, abs=0.001)


@pytest.mark.parametrize(
    ("name", "grounding", "expected"),
    [
        ("120/240V-1ph-3w", None, (120, 120)),
        ("208Y/120V-3ph-4w", "solidly-grounded", (120.089, 120.089)),
        ("480Y/277V-3ph-4w", None, (277.128, 277.128)),
        ("480Y/277V-3ph-4w", "impedance-grounded", (480, 480)),
        ("240/120V-3ph-4w-high-leg", None, (208, 208)),
        ("240V-3ph-3w", "corner-grounded", (240, 240)),
        ("240V-3ph-3w", "ungrounded", (240, 240)),
        ("240V-3ph-3w", "solidly-grounded", (138.564, 207.846)),
        ("240V-3ph-3w", None, (138.564, 240)),
        ("480V-3ph-3w", None, (277.128, 480)),
    ],
)
def test_voltage_to_ground(name, grounding, expected):
    found = ground_voltage_v(name, grounding)
    assert (found.low, found.high) == pytest.approx(expected, abs=0.001)
    supply = types.SimpleNamespace(
        system=choice("/supply/system", name), system_grounding=choice("/supply/system_grounding", grounding)
    )
    measured = voltage_to_ground(supply)
    assert measured.interval == found
    settled = found.is_point or grounding is not None
    assert measured.missing == (() if settled else ("/supply/system_grounding",))


def test_voltage_to_ground_of_any_system():
    supply = types.SimpleNamespace(system=choice("/supply/system"), system_grounding=choice("/supply/system_grounding"))
    measured = voltage_to_ground(supply)
    assert measured.interval == Interval(120, 480)
    assert measured.missing == ("/supply/system", "/supply/system_grounding")


def test_steps():
    line = step("I", "current", "S / V", 100.0, "A", "formula")
    assert (line.symbol, line.interval, line.unit, line.source) == ("I", Interval.exactly(100), "A", "formula")
    assert step("I", "current", "S / V", Interval(1, 2), "A", "formula").interval == Interval(1, 2)
    assert remark("M", "method", "as stated", "proposal").interval is None


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (180.0, "180"),
        (0.82, "0.82"),
        (Interval(150, 180), "150 to 180"),
        (Interval(150, math.inf), "150 or more"),
        (1234567.8, "1234568"),
    ],
)
def test_shown(value, text):
    assert shown(value) == text


def test_bounds():
    assert hull_of([Interval(1, 2), Interval(0, 1)]) == Interval(0, 2)
    found = resting_on(Interval(1, 2), number("/a", None), number("/b", 3))
    assert (found.inputs, found.missing) == (("/a", "/b"), ("/a",))
    assert resting_on(Interval.exactly(1), number("/a", None)).missing == ()
    assert no_more_than(number("/a", 5), number("/b", 5)).holds
    assert no_more_than(number("/a", 6), number("/b", 5)).fails
    assert no_more_than(number("/a", None, 4, 6), number("/b", 5)).missing == ("/a",)
