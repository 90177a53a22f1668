"""A calculation with its steps as part of a page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from changeout.domain.calculation import Calculation, Step
from changeout.domain.interval import Interval
from changeout.render.figures import number_text
from changeout.render.page import Block, Paragraph, Section, Words, items, table

_STEP_COLUMNS: Final = ("Symbol", "What", "How", "Value", "Source")
_UNITS: Final = {"degC": "°C", "ft2": "ft²", "in2": "in²"}


def calculation_section(calculation: Calculation, *, folded: str) -> Section:
    """Return the calculation as a section that begins a sheet in print."""
    return Section(
        title=f"Calculation: {calculation.title[:1].lower()}{calculation.title[1:]}",
        blocks=tuple(calculation_blocks(calculation)),
        folded=folded,
        new_sheet=True,
    )


def calculation_blocks(calculation: Calculation) -> Iterator[Block]:
    """Yield the result, the results at every point, the steps, assumptions and cautions."""
    yield Paragraph(words=f"Result: {_value(calculation.result.interval, calculation.unit)}.")
    if calculation.results:
        rows = [(r.at, r.name, _value(r.interval, r.unit)) for r in calculation.results]
        yield table("Results", ("At", "What", "Value"), rows, numbers=(2,))
    if calculation.steps:
        yield table("Steps", _STEP_COLUMNS, [_step(step) for step in calculation.steps], numbers=(3,))
    if calculation.assumptions:
        yield Paragraph(words="Assumptions:")
        yield items(calculation.assumptions)
    for caution in calculation.cautions:
        yield Paragraph(words=caution, tone="caution")


def _step(step: Step) -> tuple[Words, ...]:
    value = _value(step.interval, step.unit) if step.interval is not None else ""
    alone = number_text(step.interval.low).replace(",", "") if step.interval and step.interval.is_point else None
    return step.symbol, step.name, "" if step.expression == alone else step.expression, value, step.source


def _value(interval: Interval, unit: str) -> str:
    shown = f" {_UNITS.get(unit, unit)}".rstrip()
    if interval.is_point:
        return f"{number_text(interval.low)}{shown}"
    if not interval.is_bounded:
        return f"{number_text(interval.low)}{shown} or more" if interval.low > 0 else "no known bound"
    return f"{number_text(interval.low)} to {number_text(interval.high)}{shown}"
