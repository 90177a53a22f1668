"""The calculated load against the ratings of busbar and main."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from changeout.domain.calculation import Calculation
from changeout.domain.facts import Number
from changeout.domain.interval import Interval
from changeout.domain.proposal import Proposal
from changeout.render.pictures.bars import WIDTH, Bar, Chart, bar_text, draw
from changeout.render.pictures.drawing import Drawing
from changeout.render.pictures.fault_points import LOAD, calculation_called

_TITLE: Final = "Calculated load against busbar and main"


def load_chart(proposal: Proposal, calculations: Sequence[Calculation] = (), *, stands_alone: bool = False) -> str:
    """Return the chart as SVG; a load that nothing bounds is shown as not stated."""
    calculation = calculation_called(LOAD, calculations)
    loads = [(r.name, r.interval) for r in calculation.results if r.unit == "A"] if calculation else []
    panelboard, ahead = proposal.panelboard, proposal.supply.overcurrent_device
    bars = [Bar(label=name, value=_told(value)) for name, value in loads] or [Bar(label="calculated load", value=None)]
    least = loads[0][1].low if loads else 0.0
    ratings = [("busbar rating", panelboard.busbar_rating_a)]
    if panelboard.main.kind.value != "lugs":
        ratings.insert(0, ("main rating", panelboard.main.rating_a))
    if panelboard.second_main is not None and panelboard.second_main.kind.value != "lugs":
        ratings.insert(1, ("second main rating", panelboard.second_main.rating_a))
    if ahead is not None:
        ratings.append(("device ahead, rating", ahead.rating_a))
    bars += [Bar(label=name, value=_point(number), short=_short(number, least)) for name, number in ratings]
    drawing = Drawing("load", WIDTH)
    draw(drawing, Chart(bars=bars, limits=(), stays_linear=True))
    return drawing.svg(_TITLE, f"{'. '.join(map(bar_text, bars))}.", stands_alone=stands_alone)


def _told(interval: Interval) -> Interval | None:
    """Return the interval, or None where nothing bounds it."""
    return None if interval.low <= 0 and not interval.is_bounded else interval


def _point(number: Number) -> Interval | None:
    return None if number.value is None else Interval.exactly(number.value)


def _short(number: Number, least_a: float) -> bool:
    return number.value is not None and number.value < least_a
