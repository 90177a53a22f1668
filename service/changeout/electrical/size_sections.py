"""A part of a calculation of sizes, and how it says that one number is within another."""

from __future__ import annotations

from collections.abc import Iterable

from changeout.domain.calculation import Result, Step
from changeout.domain.facts import Claim, Measured, Measurement, merged
from changeout.domain.interval import Interval
from changeout.domain.value import value
from changeout.electrical.bounds import no_more_than
from changeout.electrical.steps import remark, shown


@value(frozen=True, slots=True, kw_only=True)
class Section:
    """Lines of a calculation with the results they lead to, what those rest on, and what is to be said of them."""

    steps: tuple[Step, ...] = ()
    results: tuple[Result, ...] = ()
    rests_on: tuple[Measurement, ...] = ()
    assumptions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def inputs(self) -> tuple[str, ...]:
        """Pointers of the members that the results rest on."""
        return merged(*(number.inputs for number in self.rests_on))

    @property
    def missing(self) -> tuple[str, ...]:
        """Pointers of the members whose value would narrow a result."""
        return merged(*(number.missing for number in self.rests_on))


def joined(sections: Iterable[Section]) -> Section:
    """Return the sections as one, in their order."""
    found = tuple(sections)
    return Section(
        steps=tuple(line for section in found for line in section.steps),
        results=tuple(result for section in found for result in section.results),
        rests_on=tuple(number for section in found for number in section.rests_on),
        assumptions=tuple(dict.fromkeys(said for section in found for said in section.assumptions)),
        cautions=tuple(dict.fromkeys(said for section in found for said in section.cautions)),
    )


def read(number: Measured) -> Interval:
    """Return the values that *number* can have."""
    return Interval(number.low, number.high)


def result_of(at: str, name: str, number: Measured, unit: str) -> Result:
    """Return *number* as a result."""
    return Result(at=at, name=name, interval=read(number), unit=unit)


def within_line(
    name: str, number: Measured, limit: Measured, unit: str, source: str, claim: Claim | None = None
) -> Step:
    """Return the line that says whether *number* is no more than *limit*; *claim* where that is judged elsewhere."""
    found = no_more_than(number, limit) if claim is None else claim
    words = f"{shown(read(number))} {unit} is no more than {shown(read(limit))} {unit}: {told(found)}"
    return remark("-", name, words, source)


def told(claim: Claim) -> str:
    """Return in words whether a claim holds."""
    if claim.unknown:
        return "cannot be told"
    return "holds" if claim.holds else "does not hold"
