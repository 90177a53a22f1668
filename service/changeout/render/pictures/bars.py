"""A chart of horizontal bars on one scale of amperes, with a band and limits across it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from changeout.domain.interval import Interval
from changeout.render.amounts import NOT_STATED, amount, interval_text
from changeout.render.pictures.drawing import LINE_HEIGHT, TEXT_SIZE, Drawing, text_width, wrapped

_WIDTH: Final = 720.0
_LEFT: Final = 232.0
_RIGHT: Final = 590.0
_LABEL_WIDTH: Final = _LEFT - 20.0
_ROW: Final = 18.0
_GAP: Final = 12.0
_LINE: Final = TEXT_SIZE * LINE_HEIGHT
_LOGARITHMIC_FROM: Final = 12.0
"""The ratio of the greatest to the least value from which the scale is logarithmic."""

_STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar: what it is called, the amperes it stands for (None: not stated), and whether it falls short."""

    label: str
    value: Interval | None
    short: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A line across all bars at a number of amperes; *look* is mark, near or limit."""

    label: str
    value_a: float
    look: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Bars, a band of uncertainty across them (None: there is none), and limits.

    The scale is logarithmic where the values are far apart, unless it *stays_linear*.
    """

    bars: Sequence[Bar]
    limits: Sequence[Limit]
    band: Interval | None = None
    band_label: str = ""
    stays_linear: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scale:
    """From amperes to places across the drawing."""

    low_a: float
    high_a: float
    logarithmic: bool
    ticks: tuple[float, ...]

    def place(self, value_a: float) -> float:
        bounded = min(max(value_a, self.low_a), self.high_a)
        if self.logarithmic:
            share = math.log(bounded / self.low_a) / math.log(self.high_a / self.low_a)
        else:
            share = (bounded - self.low_a) / (self.high_a - self.low_a)
        return _LEFT + share * (_RIGHT - _LEFT)


def draw(drawing: Drawing, chart: Chart) -> None:
    """Draw the chart at the top of a drawing of width ``WIDTH``."""
    scale = _scale(chart)
    top = 8.0 + _legend(drawing, chart)
    y = top + 6.0
    rows: list[tuple[Bar, float, list[str]]] = []
    for bar in chart.bars:
        lines = wrapped(bar.label, _LABEL_WIDTH, most=3)
        rows.append((bar, y, lines))
        y += max(_ROW, len(lines) * _LINE) + _GAP
    bottom = y
    _across(drawing, chart, scale, top, bottom)
    for bar, start, lines in rows:
        _bar(drawing, bar, scale, start, lines)
    _axis(drawing, scale, bottom)


WIDTH: Final = _WIDTH


def bar_text(bar: Bar) -> str:
    """Return what a bar says, for the text alternative."""
    value = NOT_STATED if bar.value is None else interval_text(bar.value, "A")
    return f"{bar.label}: {value}{', which falls short' if bar.short else ''}"


def _legend(drawing: Drawing, chart: Chart) -> float:
    """Write what the band and the lines are, one under the other; return the height used."""
    y = 8.0
    if chart.band is not None:
        drawing.box((_LEFT, y + 2), 26, 11, "band")
        y = drawing.lines(_LEFT + 34, y + TEXT_SIZE - 1, wrapped(chart.band_label, _WIDTH - _LEFT - 42)) - TEXT_SIZE + 4
    for limit in chart.limits:
        drawing.line(_LEFT, y + 8, _LEFT + 26, y + 8, limit.look)
        text = wrapped(f"{limit.label} {amount(limit.value_a, 'A')}", _WIDTH - _LEFT - 42)
        y = drawing.lines(_LEFT + 34, y + TEXT_SIZE - 1, text) - TEXT_SIZE + 4
    return y


def _across(drawing: Drawing, chart: Chart, scale: _Scale, top: float, bottom: float) -> None:
    if chart.band is not None:
        left, right = scale.place(chart.band.low), scale.place(chart.band.high)
        drawing.box((left, top), max(right - left, 1.5), bottom - top, "band")
    for limit in chart.limits:
        at = scale.place(limit.value_a)
        drawing.line(at, top, at, bottom, limit.look)


def _bar(drawing: Drawing, bar: Bar, scale: _Scale, y: float, lines: list[str]) -> None:
    height = max(_ROW, len(lines) * _LINE)
    drawing.lines(8.0, y + TEXT_SIZE + (height - len(lines) * _LINE) / 2, lines)
    middle = y + height / 2
    if bar.value is None:
        drawing.text(_LEFT + 6, middle + 4, NOT_STATED, "quiet")
        return
    low, high = scale.place(bar.value.low), scale.place(bar.value.high)
    drawing.box((_LEFT, middle - 7), low - _LEFT, 14, "low" if bar.short else "bar")
    if high > low:
        drawing.box((low, middle - 7), high - low, 14, "range")
    look = "alarm strong" if bar.short else ""
    values = wrapped(interval_text(bar.value, "A"), _WIDTH - _RIGHT - 14, look, most=2)
    drawing.lines(_RIGHT + 10, middle + 4 - (len(values) - 1) * _LINE / 2, values, look)


def _axis(drawing: Drawing, scale: _Scale, y: float) -> None:
    drawing.line(_LEFT, y, _RIGHT, y)
    last = -math.inf
    for tick in scale.ticks:
        at = scale.place(tick)
        drawing.line(at, y, at, y + 5)
        text = amount(tick, "A")
        if at - text_width(text) / 2 > last:
            drawing.text(at, y + 20, text, "small", anchor="middle")
            last = at + text_width(text) / 2 + 6
    if scale.logarithmic:
        drawing.text(_LEFT, y + 38, "logarithmic scale", "small quiet")


def _scale(chart: Chart) -> _Scale:
    values = _finite_values(chart)
    if not values:
        return _Scale(low_a=0.0, high_a=1.0, logarithmic=False, ticks=(0.0,))
    greatest = max(values)
    least = min(values)
    if chart.stays_linear or greatest / least < _LOGARITHMIC_FROM:
        step = _round_step(greatest * 1.04 / 5)
        count = math.ceil(greatest * 1.04 / step)
        ticks = tuple(step * place for place in range(count + 1))
        return _Scale(low_a=0.0, high_a=step * count, logarithmic=False, ticks=ticks)
    low = math.floor(math.log10(least))
    high = max(math.ceil(math.log10(greatest)), low + 1)
    return _Scale(
        low_a=10.0**low, high_a=10.0**high, logarithmic=True, ticks=tuple(10.0**power for power in range(low, high + 1))
    )


def _finite_values(chart: Chart) -> list[float]:
    intervals = [bar.value for bar in chart.bars if bar.value is not None]
    if chart.band is not None:
        intervals.append(chart.band)
    ends = [end for interval in intervals for end in (interval.low, interval.high)]
    return [end for end in (*ends, *(limit.value_a for limit in chart.limits)) if math.isfinite(end) and end > 0]


def _round_step(value: float) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    return next(step * power for step in _STEPS if step * power >= value)
