"""Ampacity of conductors as installed, with bounds where something about them is unknown.

The order: the table's value in the column of the insulation, the factor of the ambient temperature, the factor of
the number of current-carrying conductors; then the limit of the terminals, which is the table's value in their own
column; then the number of parallel sets. What is unknown is taken over everything the tables hold, and a result
that no table permits counts as no ampacity at all, so that nothing unknown ever makes a conductor better.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterable
from typing import Final, NamedTuple

from changeout.domain.calculation import Calculation, Result, Step
from changeout.domain.facts import Measurement, both, merged
from changeout.domain.interval import Interval
from changeout.electrical.installation import Conductors, Terminals, column_for
from changeout.electrical.steps import shown, step, term
from changeout.tables.ampacity import (
    COLUMNS_DEGC,
    AmpacitySections,
    ambient_factor,
    ampacity_a,
    conductor_count_factor,
)
from changeout.tables.conductors import MATERIALS, SIZES

_DIGITS: Final = 9
"""Decimals kept of a product of printed figures, so that 0.8 x 200 is 160 and no more."""


def corrected_ampacity_a(size: str, material: str, column_degc: int, ambient_degc: float, count: float) -> float:
    """Return the ampacity of one conductor with both factors, without any limit of terminals, in amperes.

    Zero where the table prints no ampacity or permits no use at that ambient temperature.
    """
    printed, ambient = ampacity_a(size, material, column_degc), ambient_factor(ambient_degc, column_degc)
    if printed is None or ambient is None:
        return 0.0
    return round(printed * ambient * conductor_count_factor(count), _DIGITS)


def installed_ampacity_a(conductors: Conductors, terminals: Terminals) -> Interval:
    """Return the ampacity of conductors as installed, all parallel sets together, in amperes, without its steps."""
    return _found(_axes(conductors, terminals)).total


def ampacity_as_installed(conductors: Conductors, terminals: Terminals) -> Measurement:
    """Return the ampacity of conductors as installed, all parallel sets together, in amperes, without its steps."""
    found = _found(_axes(conductors, terminals))
    open_ = zip(_not_stated(conductors, terminals), found.moves, strict=True)
    return Measurement(
        found.total, _inputs(conductors, terminals), merged(*[missing for missing, moves in open_ if moves])
    )


class _Candidate(NamedTuple):
    """One way the conductors and their terminals can be."""

    size: str
    material: str
    column_degc: int
    ambient_degc: float
    carrying: float
    sets: float
    terminal_degc: int


def installed_ampacity(conductors: Conductors, terminals: Terminals, cited: AmpacitySections) -> Calculation:
    """Return the ampacity of conductors as installed, all parallel sets together, with its steps.

    *cited* says where the edition has the tables.
    """
    candidates = _candidates(_axes(conductors, terminals))
    result = ampacity_as_installed(conductors, terminals)
    found = result.interval
    return Calculation(
        id="ampacity" + conductors.at.replace("/", "-"),
        title=f"Ampacity of the conductors at {conductors.at} as installed",
        result=result,
        unit="A",
        results=(Result(at=conductors.at, name="ampacity as installed", interval=found, unit="A"),),
        steps=_steps(candidates, found, cited),
        assumptions=conductors.assumptions,
        cautions=_cautions(found, terminals),
    )


def _inputs(conductors: Conductors, terminals: Terminals) -> tuple[str, ...]:
    marked = terminals.marked_degc
    return merged(
        conductors.size.inputs,
        conductors.material.inputs,
        conductors.insulation_degc.inputs,
        conductors.ambient.inputs,
        conductors.count.inputs,
        conductors.sets.inputs,
        marked.inputs if marked.stated else both(marked.inputs, terminals.circuit_a.inputs),
    )


def _cautions(found: Interval, terminals: Terminals) -> tuple[str, ...]:
    cautions = []
    if found.high == 0:
        cautions.append("no table permits these conductors as they are described")
    if terminals.marked_above:
        cautions.append(f"terminals are marked above {terminals.high_column_degc} degC; that column is the limit here")
    return tuple(cautions)


_Axes = tuple[
    tuple[str, ...],
    tuple[str, ...],
    tuple[int, ...],
    tuple[float, ...],
    tuple[float, ...],
    tuple[float, ...],
    tuple[int, ...],
]
"""What each member of a candidate can be; of what the ampacity rises or falls with, the two ends."""


def _axes(conductors: Conductors, terminals: Terminals) -> _Axes:
    size, material, insulation = conductors.size.value, conductors.material.value, conductors.insulation_degc.value
    return (
        (SIZES[0], SIZES[-1]) if size is None else (size,),
        MATERIALS if material is None else (material,),
        COLUMNS_DEGC if insulation is None else (column_for(insulation),),
        conductors.ambient.values,
        conductors.count.values,
        conductors.sets.values,
        terminals.columns,
    )


def _candidates(axes: _Axes) -> list[_Candidate]:
    """Return every way they can be."""
    return [_Candidate(*one) for one in itertools.product(*axes)]


class _Found(NamedTuple):
    """The ampacity over every way they can be, and which members of a candidate move it."""

    total: Interval
    moves: tuple[bool, ...]


@functools.lru_cache(maxsize=1 << 12)
def _found(axes: _Axes) -> _Found:
    totals = {candidate: _total_a(candidate) for candidate in _candidates(axes)}
    return _Found(
        total=_hull(totals.values()),
        moves=tuple([len(values) > 1 and _moves(place, totals) for place, values in enumerate(axes)]),
    )


def _moves(place: int, totals: dict[_Candidate, float]) -> bool:
    """Whether the result differs along one member of a candidate, the others held."""
    seen: dict[tuple[object, ...], set[float]] = {}
    for candidate, total in totals.items():
        seen.setdefault(candidate[:place] + candidate[place + 1 :], set()).add(total)
    return any(len(values) > 1 for values in seen.values())


def _printed_a(candidate: _Candidate, column_degc: int) -> float:
    if column_degc not in COLUMNS_DEGC:
        return 0.0
    return ampacity_a(candidate.size, candidate.material, column_degc) or 0.0


def _one_conductor_a(candidate: _Candidate) -> float:
    if candidate.column_degc not in COLUMNS_DEGC:
        return 0.0
    size, material, column, ambient, carrying = candidate[:5]
    return corrected_ampacity_a(size, material, column, ambient, carrying)


def _total_a(candidate: _Candidate) -> float:
    limited = min(_one_conductor_a(candidate), _printed_a(candidate, candidate.terminal_degc))
    return round(limited * candidate.sets, _DIGITS)


class _Figures(NamedTuple):
    """What the steps print, each over every candidate."""

    printed: Interval
    ambient: Interval
    number: Interval
    corrected: Interval
    limit: Interval
    sets: Interval

    @classmethod
    def of(cls, candidates: list[_Candidate]) -> _Figures:
        return cls(
            printed=_hull(_printed_a(c, c.column_degc) for c in candidates),
            ambient=_hull(_ambient_factor(c) for c in candidates),
            number=_hull(conductor_count_factor(c.carrying) for c in candidates),
            corrected=_hull(_one_conductor_a(c) for c in candidates),
            limit=_hull(_printed_a(c, c.terminal_degc) for c in candidates),
            sets=_hull(c.sets for c in candidates),
        )

    @property
    def product(self) -> str:
        return " x ".join(term(figure) for figure in (self.printed, self.ambient, self.number))


def installed_ampacity_written(conductors: Conductors, terminals: Terminals) -> str:
    """Return the ampacity of conductors as installed as it is computed by hand, in one expression."""
    figures = _Figures.of(_candidates(_axes(conductors, terminals)))
    return f"{term(figures.sets)} x min({figures.product}, {term(figures.limit)})"


def _steps(candidates: list[_Candidate], total: Interval, cited: AmpacitySections) -> tuple[Step, ...]:
    columns = sorted({c.column_degc for c in candidates})
    found = _Figures.of(candidates)
    sizes, materials = {c.size for c in candidates}, {c.material for c in candidates}
    what = f"{_only(sizes, 'any size')}, {_only(materials, 'copper or aluminum')}"
    limits = _degrees(sorted({c.terminal_degc for c in candidates}))
    total_written = f"n x min(I_c, I_T) = {term(found.sets)} x min({term(found.corrected)}, {term(found.limit)})"
    return (
        _looked_up("I_t", f"table value, {what}, column {_degrees(columns)}", found.printed, "A", cited.ampacity),
        _looked_up("F_a", "factor of the ambient temperature", found.ambient, "", cited.ambient),
        _looked_up("F_n", "factor of the current-carrying conductors", found.number, "", cited.conductor_count),
        step("I_c", "corrected ampacity", f"I_t x F_a x F_n = {found.product}", found.corrected, "A", "product"),
        _looked_up(
            "I_T", f"limit of the terminals, column {limits}", found.limit, "A", f"110.14(C)(1), {cited.ampacity}"
        ),
        _looked_up("n", "parallel sets", found.sets, "", "proposal"),
        step("I", "ampacity as installed", total_written, total, "A", "product"),
    )


def _looked_up(symbol: str, name: str, figure: Interval, unit: str, source: str) -> Step:
    return step(symbol, name, shown(figure), figure, unit, source)


def _ambient_factor(candidate: _Candidate) -> float:
    if candidate.column_degc not in COLUMNS_DEGC:
        return 0.0
    return ambient_factor(candidate.ambient_degc, candidate.column_degc) or 0.0


def _not_stated(conductors: Conductors, terminals: Terminals) -> tuple[tuple[str, ...], ...]:
    """Return what is not stated of each thing, in the order of a candidate's members."""
    marked = terminals.marked_degc
    return (
        conductors.size.missing,
        conductors.material.missing,
        conductors.insulation_degc.missing,
        conductors.ambient.missing,
        conductors.count.missing,
        conductors.sets.missing,
        marked.missing if marked.stated else both(marked.missing, terminals.circuit_a.missing),
    )


def _hull(values: Iterable[float]) -> Interval:
    found = list(values)
    return Interval(min(found), max(found))


def _only(words: set[str], otherwise: str) -> str:
    return next(iter(words)) if len(words) == 1 else otherwise


def _degrees(columns: list[int]) -> str:
    return " or ".join(f"{c} degC" for c in columns)
