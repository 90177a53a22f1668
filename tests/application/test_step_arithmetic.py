"""The evaluator that the tests redo steps with: it computes what a person would, and nothing else."""

import math

import pytest

from step_arithmetic import agrees, encloses, is_figure, redone


@pytest.mark.parametrize(
    ("expression", "expected"),
    [
        ("1.9 / 100 x 240² / 37500", 0.029184),
        ("√((3)² + (4)²)", 5),
        ("240 / √3 / 0.5", 277.128),
        ("240 x √3 / 2 / 10", 20.7846),
        ("max(5637.02, 5015.37) + 0", 5637.02),
        ("3 VA/ft2 x 1900 ft2", 5700),
        ("1500 VA x 2", 3000),
        ("10000 x 100 % + 22500 x 40 %", 19000),
        ("(4500 + 1200) x 75 %", 4275),
        ("25 % x 4800", 1200),
        ("the larger of 0 and 4800", 4800),
        ("46000 VA / (1.73205 x 208 V)", 127.683),
        ("column C for 1: 8 kW x 110 %", 8800),
        ("column C for 2: 11 kW x 105 % for an average of 13 kW", 11550),
        ("column A: 3 kW x 80 % + column B: 7 kW x 80 %", 8000),
        ("3/4 hp: 6.9 A x 240 V", 1656),
        ("I_t x F_a x F_n = 180 x 0.88 x 0.8", 126.72),
        ("n x min(I_c, I_T) = 3 x min(335, 310)", 930),
        ("1e-05 + 2e3", 2000.00001),
    ],
)
def test_one_number(expression, expected):
    assert redone(expression) == pytest.approx((expected, expected), rel=1e-5)


@pytest.mark.parametrize(
    ("expression", "expected"),
    [
        ("0 to 5", (0, 5)),
        ("150 or more", (150, math.inf)),
        ("(1 to 2) x (3 to 4)", (3, 8)),
        ("12 / (2 to 3)", (4, 6)),
        ("12 / (0 to 3)", (4, math.inf)),
        ("(5 or more) / (2 to 5)", (1, math.inf)),
        ("1 / (5 or more)", (0, 0.2)),
        ("10 - (2 to 3)", (7, 8)),
        ("0 x (5 or more) + 1", (1, 1)),
        ("max((1 to 6), 4)", (4, 6)),
        ("min((1 to 6), (2 to 4))", (1, 4)),
        ("99 x (1 + 0.25 x (0 to 1))", (99, 123.75)),
        ("√((0 to 3)² + 16)", (4, 5)),
        ("4500 x 40 % or 4500 x 65 %", (1800, 2925)),
        ("25 % x 4500 or none", (0, 1125)),
        ("A, or B, as it may be or not = 1 to 2", (1, 2)),
        ("10 or (5 or more)", (5, math.inf)),
    ],
)
def test_ranges_are_computed_end_by_end(expression, expected):
    assert redone(expression) == pytest.approx(expected)


@pytest.mark.parametrize(
    "expression",
    [
        "I, upper end, with those impedances",
        "Watts count as volt-amperes, at power factor 1.",
        "__import__('os')",
        "2 ** 3",
        "[1, 2]",
        "True",
        "max(1)",
        "min(a, b)",
        "sqrt(1, 2)",
        "abs(3)",
        "1 if 2 else 3",
        "'a' x 2",
        "span(1, span(2, x))",
        "5 or so",
        "",
    ],
)
def test_anything_else_is_words(expression):
    assert redone(expression) is None


def test_a_figure_stands_alone():
    assert is_figure("180")
    assert is_figure("150 to 180")
    assert is_figure("150 or more")
    assert not is_figure("1 x 180")
    assert not is_figure("as stated")


def test_agreement_and_enclosure_can_fail():
    assert agrees((100.0, 100.0), 100.4, 100.4, 0.005)
    assert not agrees((100.0, 100.0), 101.0, 101.0, 0.005)
    assert not agrees((100.0, math.inf), 100.0, 200.0, 0.005)
    assert agrees((100.0, math.inf), 100.0, math.inf, 0.005)
    assert encloses((0.0, 10.0), 1.0, 9.0, 0.005)
    assert not encloses((2.0, 10.0), 1.0, 9.0, 0.005)
    assert not encloses((0.0, 8.0), 1.0, 9.0, 0.005)
