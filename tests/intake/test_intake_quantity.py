"""Quantities: every unit, exact limits, hostile texts, suggestions."""

import math
import random
from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from changeout.intake import quantity, ranges
from changeout.intake.quantity import (
    APPARENT_POWER,
    CONDUCTOR_IMPEDANCE,
    CURRENT,
    EQUIPMENT_LOAD,
    FLOOR_AREA,
    HEATING_POWER,
    LENGTH,
    RESISTANCE,
    SMALL_AREA,
    TEMPERATURE,
    TOTAL_LOAD,
    QuantityError,
    read_quantity,
)
from changeout.intake.suggestions import likely_quantity

FAMILIES = [value for value in vars(quantity).values() if isinstance(value, quantity.Family)]

# Expected numbers from the units' definitions: 1 in = 25.4 mm exactly, 1 kft = 1000 ft, 0 degC = 32 degF, 100 degC = 212 degF.
READINGS = [
    ("200 A", CURRENT, 200.0, "A"),
    ("22 kA", CURRENT, 22000.0, "A"),
    ("750 VA", APPARENT_POWER, 750.0, "VA"),
    ("37.5 kVA", APPARENT_POWER, 37500.0, "VA"),
    ("150 MVA", APPARENT_POWER, 150e6, "VA"),
    ("36 in", LENGTH, 36.0, "in"),
    ("3 ft", LENGTH, 36.0, "in"),
    ("0.9144 m", LENGTH, 36.0, "in"),
    ("91.44 cm", LENGTH, 36.0, "in"),
    ("914.4 mm", LENGTH, 36.0, "in"),
    ("2.5 ft", LENGTH, 30.0, "in"),
    ("762 mm", LENGTH, 30.0, "in"),
    ("3.5 ft", LENGTH, 42.0, "in"),
    ("6.5 ft", LENGTH, 78.0, "in"),
    ("1981.2 mm", LENGTH, 78.0, "in"),
    ("2000 ft2", FLOOR_AREA, 2000.0, "ft2"),
    ("288 in2", FLOOR_AREA, 2.0, "ft2"),
    ("9.290304 m2", FLOOR_AREA, 100.0, "ft2"),
    ("40 in2", SMALL_AREA, 40.0, "in2"),
    ("2 ft2", SMALL_AREA, 288.0, "in2"),
    ("0.00064516 m2", SMALL_AREA, 1.0, "in2"),
    ("25 ohm", RESISTANCE, 25.0, "ohm"),
    ("500 mohm", RESISTANCE, 0.5, "ohm"),
    ("0.100 ohm/kft", CONDUCTOR_IMPEDANCE, 0.1, "ohm/kft"),
    ("1 ohm/km", CONDUCTOR_IMPEDANCE, 0.3048, "ohm/kft"),
    ("75 degC", TEMPERATURE, 75.0, "degC"),
    ("167 degF", TEMPERATURE, 75.0, "degC"),
    ("140 degF", TEMPERATURE, 60.0, "degC"),
    ("32 degF", TEMPERATURE, 0.0, "degC"),
    ("212 degF", TEMPERATURE, 100.0, "degC"),
    ("86 degF", TEMPERATURE, 30.0, "degC"),
    ("800 W", HEATING_POWER, 800.0, "W"),
    ("10 kW", HEATING_POWER, 10000.0, "W"),
    ("800 VA", HEATING_POWER, 800.0, "W"),
    ("10 kVA", HEATING_POWER, 10000.0, "W"),
    ("40 A", TOTAL_LOAD, 40.0, "A"),
    ("0.4 kA", TOTAL_LOAD, 400.0, "A"),
    ("7680 VA", TOTAL_LOAD, 7680.0, "VA"),
    ("57.6 kVA", TOTAL_LOAD, 57600.0, "VA"),
    ("0.7 MVA", TOTAL_LOAD, 700000.0, "VA"),
    ("900 W", TOTAL_LOAD, 900.0, "W"),
    ("4.5 kW", TOTAL_LOAD, 4500.0, "W"),
    ("4.5 kW", EQUIPMENT_LOAD, 4500.0, "W"),
    ("4.5 kVA", EQUIPMENT_LOAD, 4500.0, "VA"),
    ("5 hp", EQUIPMENT_LOAD, 5.0, "hp"),
    ("0.2E+1 kA", CURRENT, 2000.0, "A"),
    ("2e3 A", CURRENT, 2000.0, "A"),
    ("0 A", CURRENT, 0.0, "A"),
]


@pytest.mark.parametrize("text, family, value, base", READINGS)
def test_a_quantity_is_a_number_in_its_base_unit(text, family, value, base):
    assert read_quantity(text, family) == (value, base)


def test_every_unit_of_every_family_is_read_above():
    shared = {"A", "kA", "VA", "kVA", "MVA", "W", "kW"}
    for family in FAMILIES:
        read = {text.split(" ")[1] for text, of, _, _ in READINGS if of is family}
        assert set(family.units) - read <= (shared if family is EQUIPMENT_LOAD else set())


def test_hundredths_of_a_kiloampere_are_exact():
    for hundredths in range(1, 20_000):
        whole, part = divmod(hundredths, 100)
        assert read_quantity.__wrapped__(f"{whole}.{part:02} kA", CURRENT)[0] == hundredths * 10.0


def test_eighths_of_a_foot_are_exact_in_inches():
    for eighths in range(1, 4_000):
        text = f"{Decimal(eighths) / 8:f} ft"
        assert read_quantity.__wrapped__(text, LENGTH)[0] == eighths * 1.5


def test_metric_spellings_of_whole_inches_are_the_same_number():
    for inches in range(1, 1_200):
        millimetres = Decimal(inches) * Decimal("25.4")
        for text in (f"{millimetres:f} mm", f"{millimetres / 10:f} cm", f"{millimetres / 1000:f} m"):
            assert read_quantity.__wrapped__(text, LENGTH)[0] == float(inches)


PINT_NAMES = {"ft2": "ft**2", "m2": "m**2", "in2": "in**2"}


def test_conversion_is_what_pint_makes_of_decimal_numbers():
    registry = pint.UnitRegistry(non_int_type=Decimal)
    drawn = random.Random(11)
    for family in FAMILIES:
        for unit, conversion in family.units.items():
            for _ in range(150):
                number = (
                    f"{drawn.randrange(10 ** drawn.randrange(1, 7))}.{drawn.randrange(10 ** drawn.randrange(1, 5))}"
                )
                made = registry.Quantity(Decimal(number), PINT_NAMES.get(unit, unit))
                expected = made.to(PINT_NAMES.get(conversion.base, conversion.base)).magnitude
                read = read_quantity.__wrapped__(f"{number} {unit}", family)[0]
                # pint rounds at 28 digits; where its decimal lies between two doubles, ours is as near
                assert read == float(expected) or abs(Decimal(read) - expected) <= Decimal(math.ulp(read)) / 2


def test_conversions_have_the_fractions_of_their_definitions():
    fractions = {(unit, c.base): (c.factor, c.offset, c.divisor) for f in FAMILIES for unit, c in f.units.items()}
    assert fractions["ft", "in"] == (12, 0, 1)
    assert fractions["mm", "in"] == (5, 0, 127)
    assert fractions["m", "in"] == (5000, 0, 127)
    assert fractions["ohm/km", "ohm/kft"] == (381, 0, 1250)
    assert fractions["degF", "degC"] == (5, -160, 9)
    assert fractions["hp", "hp"] == (1, 0, 1)


BAD = [
    ("200A", "bad-quantity"),
    ("200  A", "bad-quantity"),
    (" 200 A", "bad-quantity"),
    ("200 A ", "bad-quantity"),
    ("200 A\n", "bad-quantity"),
    ("\n200 A", "bad-quantity"),
    ("200\tA", "bad-quantity"),
    ("200\u00a0A", "bad-quantity"),
    ("+200 A", "bad-quantity"),
    (".5 A", "bad-quantity"),
    ("5. A", "bad-quantity"),
    ("0200 A", "bad-quantity"),
    ("1,000 A", "bad-quantity"),
    ("1_000 A", "bad-quantity"),
    ("\u0663 A", "bad-quantity"),
    ("\uff12\uff10 A", "bad-quantity"),
    ("2\u00b2 A", "bad-quantity"),
    ("0x10 A", "bad-quantity"),
    ("1e A", "bad-quantity"),
    ("1e1000 A", "bad-quantity"),
    ("nan A", "bad-quantity"),
    ("inf A", "bad-quantity"),
    ("Infinity A", "bad-quantity"),
    ("A", "bad-quantity"),
    ("A 200", "bad-quantity"),
    ("", "bad-quantity"),
    (" ", "bad-quantity"),
    ("()()()", "bad-quantity"),
    ("4/3 A", "bad-quantity"),
    ("4/0 AWG", "bad-quantity"),
    ("200 A + 3 A", "bad-quantity"),
    ("1 A; 2", "bad-quantity"),
    ("10**10**10 A", "bad-quantity"),
    ("9**9**9 A", "bad-quantity"),
    ("2**" * 20 + "2 A", "bad-quantity"),
    ("200 A A", "bad-quantity"),
    ("--1 A", "bad-quantity"),
    ("200 \u0410", "bad-quantity"),
    ("1" * 63 + " A", "bad-quantity"),
    ("9" * 5000 + " A", "bad-quantity"),
    ("200", "bare-number"),
    ("2e5", "bare-number"),
    ("-200", "bare-number"),
    ("200 V", "wrong-unit"),
    ("200 a", "wrong-unit"),
    ("200 ka", "wrong-unit"),
    ("200 KA", "wrong-unit"),
    ("200 amps", "wrong-unit"),
    ("200 mA", "wrong-unit"),
    ("200 VA", "wrong-unit"),
    ("12 AWG", "wrong-unit"),
    ("-200 A", "out-of-range"),
    ("-0 A", "out-of-range"),
    ("-0.0 kA", "out-of-range"),
    ("1e400 A", "out-of-range"),
    ("1e308 kA", "out-of-range"),
    ("9e999 kA", "out-of-range"),
]


@pytest.mark.parametrize("text, code", BAD)
def test_what_is_no_current_is_refused(text, code):
    with pytest.raises(QuantityError) as refused:
        read_quantity(text, CURRENT)
    assert refused.value.code == code


def test_volt_amperes_and_watts_are_kept_apart():
    with pytest.raises(QuantityError, match="wrong-unit"):
        read_quantity("5 kW", APPARENT_POWER)
    assert read_quantity("5 kW", TOTAL_LOAD) != read_quantity("5 kVA", TOTAL_LOAD)
    with pytest.raises(QuantityError, match="wrong-unit"):
        read_quantity("5 hp", TOTAL_LOAD)


@given(st.text(max_size=20) | st.from_regex(r"\A[0-9.eE+*/() -]{1,12} ?[A-Za-z*/0-9]{0,6}\Z"))
def test_any_text_is_a_finite_number_or_refused(text):
    for family in FAMILIES:
        try:
            value, base = read_quantity(text, family)
        except QuantityError:
            continue
        assert math.isfinite(value)
        assert base in family.bases


SUGGESTED = [
    ("200A", CURRENT, "200 A"),
    ("200 amps", CURRENT, "200 A"),
    ("200 Amperes", CURRENT, "200 A"),
    ("200 a", CURRENT, "200 A"),
    ("200  A", CURRENT, "200 A"),
    (" 200 A\n", CURRENT, "200 A"),
    ("0.2KA", CURRENT, "0.2 kA"),
    ("10 KAIC", CURRENT, "10 kA"),
    ("1,000 A", CURRENT, "1000 A"),
    ("+200 A", CURRENT, "200 A"),
    (".5 kA", CURRENT, "0.5 kA"),
    ("0200 A", CURRENT, "200 A"),
    ("75 KVA", APPARENT_POWER, "75 kVA"),
    ("150 mva", APPARENT_POWER, "150 MVA"),
    ("36 inches", LENGTH, "36 in"),
    ('36"', LENGTH, "36 in"),
    ("3'", LENGTH, "3 ft"),
    ("3 feet", LENGTH, "3 ft"),
    ("3 ft.", LENGTH, "3 ft"),
    ("914.4 millimetres", LENGTH, "914.4 mm"),
    ("2000 sq ft", FLOOR_AREA, "2000 ft2"),
    ("2000 sq. ft.", FLOOR_AREA, "2000 ft2"),
    ("2000 ft\u00b2", FLOOR_AREA, "2000 ft2"),
    ("2000 ft^2", FLOOR_AREA, "2000 ft2"),
    ("40 sq in", SMALL_AREA, "40 in2"),
    ("25 \u03a9", RESISTANCE, "25 ohm"),
    ("25 ohms", RESISTANCE, "25 ohm"),
    ("0.1 ohms/kft", CONDUCTOR_IMPEDANCE, "0.1 ohm/kft"),
    ("0.1 ohm/1000ft", CONDUCTOR_IMPEDANCE, "0.1 ohm/kft"),
    ("75 \u00b0C", TEMPERATURE, "75 degC"),
    ("75C", TEMPERATURE, "75 degC"),
    ("167 F", TEMPERATURE, "167 degF"),
    ("4.5 KW", EQUIPMENT_LOAD, "4.5 kW"),
    ("5HP", EQUIPMENT_LOAD, "5 hp"),
    ("5 horsepower", EQUIPMENT_LOAD, "5 hp"),
    ("200 V", CURRENT, None),
    ("200", CURRENT, None),
    ("200 MA", CURRENT, None),
    ("5 Mohm", RESISTANCE, None),
    ("4/0 AWG", CURRENT, None),
    ("200 A + 3 A", CURRENT, None),
    ("1 A; 2", CURRENT, None),
    ("-200A", CURRENT, None),
    ("9" * 5000 + "A", CURRENT, None),
]


@pytest.mark.parametrize("text, family, suggestion", SUGGESTED)
def test_what_only_misses_the_form_is_suggested_in_form(text, family, suggestion):
    assert likely_quantity(text, family) == suggestion
    if suggestion is not None:
        assert math.isfinite(read_quantity(suggestion, family)[0])


BOUNDS = {name: value for name, value in vars(ranges).items() if isinstance(value, ranges.Bounds)} | dict(ranges.LOADS)


@pytest.mark.parametrize("name", BOUNDS)
def test_a_range_holds_its_ends_as_it_says(name):
    bounds = BOUNDS[name]
    assert 0 <= bounds.low < bounds.high < 2**53  # so that whole numbers have one form in a digest
    assert bounds.hold(bounds.low) is not bounds.low_open
    assert bounds.hold(bounds.high) is not bounds.high_open
    assert not bounds.hold(math.nextafter(bounds.low, -math.inf))
    assert not bounds.hold(math.nextafter(bounds.high, math.inf))
    assert bounds.words.startswith("above" if bounds.low_open else "from")
    assert ("below" in bounds.words) is bounds.high_open
