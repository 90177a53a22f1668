"""Every short-circuit and interrupting rating against the fault current available at the panelboard."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from changeout.domain.calculation import Calculation
from changeout.domain.facts import Number
from changeout.domain.interval import Interval
from changeout.domain.proposal import Panelboard, Proposal, Supply
from changeout.render.amounts import amount, interval_text
from changeout.render.pictures.bars import WIDTH, Bar, Chart, Limit, bar_text, draw
from changeout.render.pictures.drawing import Drawing
from changeout.render.pictures.fault_points import FAULT_CURRENT, FaultPoints, calculation_called

TEN_KILOAMPERES_A: Final = 10000.0
"""The line above which an interior outside its tested enclosure needs a field label. Source: section 408.9, as read in
trade articles; see the edition's row."""

_TITLE: Final = "Short-circuit and interrupting ratings against the available fault current"
_AVAILABLE: Final = "available fault current at the panelboard"
_MOST_NUMBERS: Final = 8


def ratings_chart(proposal: Proposal, calculations: Sequence[Calculation] = (), *, stands_alone: bool = False) -> str:
    """Return the chart as SVG. A rating falls short where the least current possible is above it."""
    calculation = calculation_called(FAULT_CURRENT, calculations)
    points = FaultPoints(calculation)
    available = calculation.result.interval if calculation else None
    at_source = points.interval("source terminals")
    bars = [
        Bar(label=name, value=None if n.value is None else Interval.exactly(n.value), short=_short(n, available))
        for name, n in _at_panelboard(proposal.panelboard)
    ]
    bars += [
        Bar(label=name, value=None if n.value is None else Interval.exactly(n.value), short=_short(n, available))
        for name, n in _ahead(proposal.supply)
    ]
    chart = Chart(
        bars=bars,
        limits=_limits(available, points.near_limit_a()),
        band=None if available is None or available.is_point else available,
        band_label=_band(available),
    )
    drawing = Drawing("ratings", WIDTH)
    draw(drawing, chart)
    said = [
        _band(available) if chart.band else "",
        *map(bar_text, bars),
        *(f"{m.label} {amount(m.value_a, 'A')}" for m in chart.limits),
    ]
    if at_source is not None:
        said.append(f"Available at source terminals: {interval_text(at_source, 'A')}")
    return drawing.svg(_TITLE, f"{'. '.join(filter(None, said))}.", stands_alone=stands_alone)


def _at_panelboard(panelboard: Panelboard) -> Iterator[tuple[str, Number]]:
    yield "panelboard, short-circuit current rating", panelboard.short_circuit_rating_a
    if panelboard.rating_basis.value == "series" or panelboard.series_rating.combination_rating_a.stated:
        yield "series combination rating", panelboard.series_rating.combination_rating_a
    if panelboard.main.kind.value != "lugs":
        yield "main, interrupting rating", panelboard.main.interrupting_rating_a
    if panelboard.second_main is not None and panelboard.second_main.kind.value != "lugs":
        yield "second main, interrupting rating", panelboard.second_main.interrupting_rating_a
    by_rating: dict[float | None, list[tuple[str, Number]]] = {}
    for circuit in panelboard.circuits:
        name = f"{circuit.number.value:g}" if circuit.number.value is not None else "?"
        rating = circuit.breaker.interrupting_rating_a
        by_rating.setdefault(rating.value, []).append((name, rating))
    for same in by_rating.values():
        yield _breakers([name for name, _ in same]), same[0][1]


def _breakers(names: list[str]) -> str:
    if len(names) == 1:
        return f"breaker of circuit {names[0]}, interrupting rating"
    more = f" and {len(names) - _MOST_NUMBERS} more" if len(names) > _MOST_NUMBERS else ""
    return f"breakers of circuits {', '.join(names[:_MOST_NUMBERS])}{more}, interrupting rating"


def _ahead(supply: Supply) -> Iterator[tuple[str, Number]]:
    if supply.overcurrent_device is not None:
        yield "device ahead, interrupting rating", supply.overcurrent_device.interrupting_rating_a
    for number, run in enumerate(supply.runs, 1):
        if run.device_after is not None:
            yield f"device after run {run.id.value or number}", run.device_after.interrupting_rating_a


def _short(rating: Number, available: Interval | None) -> bool:
    return rating.value is not None and available is not None and rating.value < available.low


def _band(available: Interval | None) -> str:
    if available is None:
        return ""
    return f"{_AVAILABLE}: {interval_text(available, 'A')}, until what is missing is stated"


def _limits(available: Interval | None, near_a: float | None) -> list[Limit]:
    found = []
    if available is not None and available.is_point:
        found.append(Limit(label=_AVAILABLE, value_a=available.low, look="mark"))
    if available is not None and near_a is not None and near_a > available.high:
        found.append(Limit(label="with nameplate tolerance and cold conductors", value_a=near_a, look="near"))
    found.append(Limit(label="line of", value_a=TEN_KILOAMPERES_A, look="limit"))
    return found
