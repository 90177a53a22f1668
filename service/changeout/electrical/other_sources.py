"""The sums that are permitted on a busbar with other sources, line by line, and which of them holds."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Final

from changeout.domain.calculation import Calculation, Result, Step
from changeout.domain.facts import Claim, Measurement, any_claim, merged
from changeout.domain.interval import Interval
from changeout.domain.proposal import GenerationSource
from changeout.domain.value import value
from changeout.electrical.busbar import Busbar, PermittedSum, contribution, on_load_side, sum_of_breakers
from changeout.electrical.size_sections import read, told, within_line
from changeout.electrical.steps import remark, shown, step, term

ID: Final = "busbar"
TITLE: Final = "Busbar with other sources of power: the permitted sums"

_SUMS: Final = {
    "sum": "sources anywhere",
    "120-percent": "sources at the end opposite the supply",
    "center-fed": "sources at one end of a busbar fed at its center",
    "sum-of-breakers": "breakers of loads and sources",
}
_DIGITS: Final = 9
"""Decimals kept of a percentage, so that a sum that fills its limit is 100 and no more."""


@value(frozen=True, slots=True, kw_only=True)
class BusbarAsked:
    """A busbar and the sums that are permitted on it, with the factors that an edition sets.

    ``output_factor`` raises the outputs of the sources; ``factors`` says by which part of its rating each sum is
    limited, by the name of the sum. ``fits`` judges whether a sum is within its limit. ``protected``: some device
    protects the busbar.
    """

    busbar: Busbar
    protected: bool
    sums: Sequence[PermittedSum]
    fits: Callable[[PermittedSum], Claim]
    output_factor: float
    factors: Mapping[str, float]
    section: str
    cautions: tuple[str, ...] = ()

    def holds(self, found: PermittedSum) -> Claim:
        """Return the claim that a sum is within its limit and the sources stand where it asks."""
        return self.fits(found) & found.placed

    @property
    def one_holds(self) -> Claim:
        """The claim that at least one of the sums holds."""
        return any_claim(self.holds(found) for found in self.sums)


def busbar_calculation(asked: BusbarAsked) -> Calculation:
    """Return every permitted sum of a busbar, and which of them holds.

    What rules compare is how full the busbar is in the sum that fits best, in percent of what the sum may come to:
    at most 100 where one holds.
    """
    return Calculation(
        id=ID,
        title=TITLE,
        result=_result(asked),
        unit="percent",
        results=tuple(_results(asked.sums)),
        steps=tuple(_steps(asked)),
        cautions=(*_cautions(asked), *asked.cautions),
    )


def busbar_not_asked() -> Calculation:
    """Return the calculation under a ruleset that asks for none of the sums."""
    return Calculation(
        id=ID,
        title=TITLE,
        result=Measurement(Interval(0.0, math.inf)),
        unit="percent",
        steps=(remark("-", "permitted sums", "this ruleset asks for none of them", "ruleset"),),
    )


def _result(asked: BusbarAsked) -> Measurement:
    claim = asked.one_holds
    low = min(_fullness(s).low for s in asked.sums if not s.placed.fails)
    high = min((_fullness(s).high for s in asked.sums if s.placed.holds), default=math.inf)
    found = Interval(low, high)
    open_ = merged(claim.missing, *(merged(s.total.missing, s.limit.missing) for s in asked.sums))
    return Measurement(found, claim.inputs, () if found.is_point else open_)


def _fullness(found: PermittedSum) -> Interval:
    full = read(found.total) / read(found.limit) * 100.0
    return Interval(round(full.low, _DIGITS), round(full.high, _DIGITS) if full.is_bounded else math.inf)


def _results(sums: Sequence[PermittedSum]) -> Iterator[Result]:
    for found in sums:
        for name, number in (("total", found.total), ("limit", found.limit)):
            yield Result(at="/panelboard", name=f"{found.rule}: {name}", interval=number.interval, unit="A")


def _cautions(asked: BusbarAsked) -> Iterator[str]:
    sources = asked.busbar.sources
    if not sources.stated:
        yield "Whether there are other sources is not stated."
    elif not len(sources):
        yield "There are no other sources on the busbar: none of these sums is asked."
    if not asked.protected:
        yield "No device protects the busbar: only the sum of its breakers can count."


def _steps(asked: BusbarAsked) -> Iterator[Step]:
    busbar = asked.busbar
    rating, protection = read(busbar.rating), read(busbar.protection)
    yield step("I_b", "rating of the busbar", shown(rating), rating, "A", "proposal")
    name = "device that protects the busbar" + ("" if asked.protected else ": none")
    yield step("I_p", name, shown(protection), protection, "A", "proposal")
    for number, source in enumerate(busbar.sources, start=1):
        output = source.output_current_a.interval
        yield step(f"I_{number}", _described(source), shown(output), output, "A", "proposal")
    outputs = contribution(busbar.sources, 100.0).interval
    yield step("I_o", "outputs on the load side together", _outputs_written(busbar), outputs, "A", "sum")
    for mark, found in zip("abc", asked.sums, strict=True):
        yield from _sum_steps(mark, found, asked)
    holding = [found.rule for found in asked.sums if asked.holds(found).holds]
    none = "none" if asked.one_holds.fails else "cannot be told"
    yield remark("-", "which sum holds", ", ".join(holding) or none, asked.section)


def _sum_steps(mark: str, found: PermittedSum, asked: BusbarAsked) -> Iterator[Step]:
    name, total, limit = found.rule, found.total.interval, found.limit.interval
    rating = term(read(asked.busbar.rating))
    allowed = f"{shown(asked.factors[name])} x {rating}" if name in asked.factors else rating
    yield step(f"T_{mark}", f"{name}, {_SUMS[name]}: total", _total_written(found, asked), total, "A", asked.section)
    yield step(f"L_{mark}", f"{name}: limit", allowed, limit, "A", asked.section)
    full = f"100 x {term(total)} / {term(limit)}"
    yield step(f"P_{mark}", f"{name}: how full", full, _fullness(found), "percent", "definition of percent")
    yield within_line(f"{name}: within its limit", found.total, found.limit, "A", asked.section, asked.fits(found))
    if not found.placed.holds:
        yield remark("-", f"{name}: may be used as the sources stand", told(found.placed), asked.section)


def _total_written(found: PermittedSum, asked: BusbarAsked) -> str:
    busbar = asked.busbar
    if found.rule == "sum-of-breakers":
        return _breakers_written(busbar)
    outputs, protection = term(contribution(busbar.sources, 100.0).interval), term(read(busbar.protection))
    return f"{shown(asked.output_factor)} x {outputs} + {protection}"


def _outputs_written(busbar: Busbar) -> str:
    if not busbar.sources.stated:
        return shown(contribution(busbar.sources, 100.0).interval)
    return " + ".join(term(on_load_side(source, source.output_current_a).interval) for source in busbar.sources) or "0"


def _breakers_written(busbar: Busbar) -> str:
    """Return the sum of all breakers: equal ratings counted, and last what sources add that no circuit stands for."""
    ratings = [circuit.breaker.rating_a.interval for circuit in busbar.circuits]
    counted = Counter(term(rating) for rating in ratings)
    terms = [written if count == 1 else f"{count} x {written}" for written, count in counted.items()]
    whole = sum_of_breakers(busbar.circuits, busbar.sources).interval
    own = sum(ratings, Interval(0.0, 0.0))
    rest = Interval(whole.low - own.low, whole.high - own.high if whole.is_bounded else math.inf)
    if rest.high > 0.0 or not terms:
        terms.append(term(rest))
    return " + ".join(terms)


def _described(source: GenerationSource) -> str:
    """Return what is known of a source: ``pv, load-side, opposite-end``."""
    words = (source.kind.value or "source", source.connection.value, source.position.value)
    return ", ".join(word for word in words if word) + ": output"
