"""Redoes the expression of a calculation's step, as a person with a pocket calculator would.

The text is turned into an arithmetic expression of numbers, ranges, ``+ - x /``, squares, square roots, percent, ``max``
and ``min``; nothing else is evaluated, and what is in other words gives None. Ranges are computed end by end.
"""

from __future__ import annotations

import ast
import math
import re
from collections.abc import Callable, Mapping

Range = tuple[float, float]

_NUMBER = r"\d+(?:\.\d+)?(?:e[+-]?\d+)?"
_UNITS = r"(?<=[\d)]) (?:VA/ft2|ft2|VA|A|V|W|kcmil|percent)(?=$|[\s),])"
_REWRITTEN = (
    (r"^.* = ", ""),
    (r"^none$", "0"),
    (r"^the larger of (.+) and (.+)$", r"max(\1, \2)"),
    (r"column [ABC](?: for \d+)?: |^[\d./]+ hp: ", ""),
    (r" for an average of [\d.]+ kW| at nameplate", ""),
    (rf"({_NUMBER}) to ({_NUMBER})", r"span(\1, \2)"),
    (rf"({_NUMBER}) or more", r"span(\1, inf)"),
    (r"(?<=[\d)]) kW(?=$|[\s),])", " * 1000"),
    (_UNITS, ""),
    (r" %", " / 100"),
    (r" x ", " * "),
    (r"²", "**2"),
    (r"√\(", "sqrt("),
    (r"√3", "sqrt(3)"),
)
_LONE = re.compile(rf"\(?(?:{_NUMBER}|span\([^()]*\))\)?")


def redone(expression: str) -> Range | None:
    """Return the least and the greatest value of an expression, or None where it is words.

    Of ``one or the other`` either may be right.
    """
    written = re.sub(r"^.* = ", "", expression)
    try:
        ends = [_value(ast.parse(_rewritten(one), mode="eval").body) for one in re.split(r" or (?!more\b)", written)]
    except (SyntaxError, _NotArithmeticError):
        return None
    return min(low for low, _ in ends), max(high for _, high in ends)


def is_figure(expression: str) -> bool:
    """Whether an expression is one number or one range alone: read from a table or the proposal."""
    return _LONE.fullmatch(_rewritten(expression)) is not None


def agrees(found: Range, low: float, high: float, relative: float) -> bool:
    """Whether both ends of *found* are those printed, within the rounding of what is shown."""
    return all(
        a == b or math.isclose(a, b, rel_tol=relative, abs_tol=1e-12) for a, b in zip(found, (low, high), strict=True)
    )


def encloses(found: Range, low: float, high: float, relative: float) -> bool:
    """Whether *found* is no narrower than what is printed."""
    return found[0] <= low * (1 + relative) + 1e-12 and found[1] >= high * (1 - relative) - 1e-12


class _NotArithmeticError(Exception):
    """The text holds something that a pocket calculator has no key for."""


def _rewritten(expression: str) -> str:
    for pattern, replacement in _REWRITTEN:
        expression = re.sub(pattern, replacement, expression)
    return expression


def _value(node: ast.expr) -> Range:
    match node:
        case ast.Constant(value=int() | float() as number) if not isinstance(number, bool):
            return float(number), float(number)
        case ast.BinOp(left=left, op=ast.Pow(), right=ast.Constant(value=2)):
            low, high = _value(left)
            return low * low, high * high
        case ast.BinOp(left=left, op=operator, right=right) if type(operator) in _OPERATORS:
            return _OPERATORS[type(operator)](_value(left), _value(right))
        case ast.Call(func=ast.Name(id="span"), args=[ast.Constant(value=low), end], keywords=[]):
            return float(low), math.inf if isinstance(end, ast.Name) and end.id == "inf" else _value(end)[1]
        case ast.Call(func=ast.Name(id="sqrt"), args=[of], keywords=[]):
            low, high = _value(of)
            return math.sqrt(low), math.sqrt(high)
        case ast.Call(func=ast.Name(id="max" | "min" as name), args=[_, _, *_] as parts, keywords=[]):
            ends = [_value(part) for part in parts]
            choose = max if name == "max" else min
            return choose(low for low, _ in ends), choose(high for _, high in ends)
    raise _NotArithmeticError


def _sum(left: Range, right: Range) -> Range:
    return left[0] + right[0], left[1] + right[1]


def _difference(left: Range, right: Range) -> Range:
    return left[0] - right[1], left[1] - right[0]


def _product(left: Range, right: Range) -> Range:
    ends = [0.0 if 0.0 in (a, b) else a * b for a in left for b in right]
    return min(ends), max(ends)


def _quotient(left: Range, right: Range) -> Range:
    low = 0.0 if math.isinf(right[1]) else left[0] / right[1] if right[1] else math.inf
    return low, left[1] / right[0] if right[0] else math.inf


_OPERATORS: Mapping[type[ast.operator], Callable[[Range, Range], Range]] = {
    ast.Add: _sum,
    ast.Sub: _difference,
    ast.Mult: _product,
    ast.Div: _quotient,
}
