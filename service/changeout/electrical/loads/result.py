"""The calculated load of a proposal, by the method it names."""

from __future__ import annotations

from collections.abc import Iterable

from changeout.domain.calculation import Calculation, Result
from changeout.domain.facts import Choice, Measurement
from changeout.domain.value import value
from changeout.electrical.loads.parts import Tally
from changeout.electrical.steps import remark


@value(frozen=True, slots=True, kw_only=True)
class LoadResult:
    """The load in VA and in amperes of the supply system, and what rules ask of how it was counted.

    ``continuous_adjusted_a``: the amperes with their continuous part at 125 %. ``general_lighting_va``: what the
    edition asks for the floor area. ``ev_required_va`` and ``ev_counted_va``: what vehicle charging must count, and
    what was counted. ``corrected_va`` and ``corrected_a``: the load where general lighting was counted short of what
    the edition asks; for every method but a stated load that is the load itself.
    """

    method: Choice
    va: Measurement
    amps: Measurement
    continuous_adjusted_a: Measurement
    general_lighting_va: Measurement
    ev_required_va: Measurement
    ev_counted_va: Measurement
    corrected_va: Measurement
    corrected_a: Measurement
    tally: Tally
    assumptions: tuple[str, ...] = ()

    def calculation(self) -> Calculation:
        """Return the calculation with every line of it. Lines of what there is none of are left out."""
        lines = (part for part in self.tally.parts if part.value.high > 0.0 or part.symbol in {"S", "I"})
        return Calculation(
            id="load",
            title="Calculated load",
            result=self.va,
            unit="VA",
            results=tuple(_results(self)),
            steps=(
                *(remark("-", "how loads are read", sentence, "convention") for sentence in self.assumptions),
                *(part.step() for part in lines),
            ),
            assumptions=self.assumptions,
            cautions=self.tally.cautions,
        )


def _results(load: LoadResult) -> Iterable[Result]:
    for name, found, unit in (
        ("calculated load", load.va, "VA"),
        ("calculated load", load.amps, "A"),
        ("with the continuous part at 125 %", load.continuous_adjusted_a, "A"),
    ):
        yield Result(at="panelboard", name=name, interval=found.interval, unit=unit)
