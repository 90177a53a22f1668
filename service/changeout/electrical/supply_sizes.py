"""Supply conductors against their device and the load, and the smallest that would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from changeout.domain.calculation import Result, Step
from changeout.domain.facts import Claim, Measured, Measurement, greatest_of, measured, merged
from changeout.domain.proposal import Run
from changeout.domain.value import value
from changeout.electrical.ampacity import installed_ampacity
from changeout.electrical.bounds import no_more_than
from changeout.electrical.dwelling_service import required_ampacity
from changeout.electrical.grounding import conductor_area
from changeout.electrical.installation import Terminals, conductors_of_run
from changeout.electrical.size_sections import Section, read, result_of, told, within_line
from changeout.electrical.smallest_conductor import AREAS, Need, Smallest, sized, smallest_conductor, smallest_steps
from changeout.electrical.steps import remark, shown, step, term
from changeout.tables.ampacity import AmpacitySections


@value(frozen=True, slots=True, kw_only=True)
class Protected:
    """The device that protects conductors, its rating and the greatest that they permit, in amperes.

    ``counted`` says what device an ampacity permits; ``fits`` whether this one is small enough by any rule.
    """

    name: str
    rating: Measured
    permitted: Measured
    fits: Claim
    counted: Callable[[float], float]
    section: str


@value(frozen=True, slots=True, kw_only=True)
class DwellingUse:
    """Whether the rule for dwelling services may be used for the conductors of a *rating*, and what it asks."""

    may_use: Claim
    rating: Measured
    fraction: float
    section: str


@value(frozen=True, slots=True, kw_only=True)
class LoadCarried:
    """The calculated load in amperes: as it is, and with its continuous part at 125 % where that is asked."""

    plain: Measured
    with_continuous: Measured
    section: str


@value(frozen=True, slots=True, kw_only=True)
class SupplyAsked:
    """The conductors that end at the panelboard and what they are held against; None for what is not there."""

    run: Run
    terminals: Terminals
    load: LoadCarried
    device: Protected | None
    dwelling: DwellingUse | None
    cited: AmpacitySections


@value(frozen=True, slots=True, kw_only=True)
class _Found:
    """The lines that lead to a smallest conductor, what it is for, and the conductor."""

    purpose: str
    steps: tuple[Step, ...]
    smallest: Smallest

    @property
    def area(self) -> Measurement:
        return self.smallest.area


def supply_section(asked: SupplyAsked) -> Section:
    """Return the lines of the conductors that end at the panelboard; last of its numbers is the smallest area."""
    run, device, dwelling = asked.run, asked.device, asked.dwelling
    carried = installed_ampacity(conductors_of_run(run), asked.terminals, asked.cited)
    load = _for_load(asked)
    by_device = _for_device(asked, device) if device else None
    by_rule = _for_dwelling(asked, dwelling) if dwelling and not dwelling.may_use.fails else None
    found = [one for one in (load, by_device, by_rule) if one is not None]
    least, written = _least(load.area, by_device, by_rule, dwelling)
    return Section(
        steps=(
            *carried.steps,
            *(_device_lines(device) if device else ()),
            *(_dwelling_line(dwelling) if dwelling else ()),
            *(line for one in found for line in one.steps),
            *_last_lines(run, least, written),
        ),
        results=(
            *carried.results,
            *(_device_results(run.at, device) if device else ()),
            *(result_of(run.at, f"smallest conductor {one.purpose}", one.area, "kcmil") for one in found),
            result_of(run.at, "smallest supply conductor", least, "kcmil"),
        ),
        rests_on=(carried.result, *((measured(device.rating),) if device else ()), least),
        cautions=tuple(f"{said[:1].upper()}{said[1:]}." for said in carried.cautions),
    )


def _device_lines(device: Protected) -> Iterator[Step]:
    rating, permitted = read(device.rating), read(device.permitted)
    yield step("I_d", device.name, shown(rating), rating, "A", "proposal")
    yield step("I_p", "greatest device that the conductors permit", shown(permitted), permitted, "A", device.section)
    name, plainly = f"{device.name}: small enough for the conductors", no_more_than(device.rating, device.permitted)
    if plainly.truth is device.fits.truth:
        yield within_line(name, device.rating, device.permitted, "A", device.section)
    else:
        words = f"above what they permit, but by the rule for dwelling services or for taps: {told(device.fits)}"
        yield remark("-", name, words, device.section)


def _device_results(at: str, device: Protected) -> Iterator[Result]:
    yield result_of(at, device.name, device.rating, "A")
    yield result_of(at, "greatest device that the conductors permit", device.permitted, "A")


def _dwelling_line(use: DwellingUse) -> Iterator[Step]:
    words = "one dwelling unit, single-phase, a rating in the range of the rule, the entire load of the unit"
    yield remark("-", "rule for dwelling services may be used", f"{words}: {told(use.may_use)}", use.section)


def _for_load(asked: SupplyAsked) -> _Found:
    load = asked.load
    plain, more = read(load.plain), read(load.with_continuous)
    need = Need(as_installed=load.plain, before_factors=load.with_continuous)
    smallest = smallest_conductor(conductors_of_run(asked.run), asked.terminals, need)
    return _Found(
        purpose="for the calculated load",
        steps=(
            step("I_L", "calculated load, to be carried as installed", shown(plain), plain, "A", "calculation load"),
            step(
                "I_LC",
                "the same with its continuous part at 125 %, to be carried before the factors",
                shown(more),
                more,
                "A",
                f"calculation load; {load.section}",
            ),
            *smallest_steps("L", "smallest conductor for the load", smallest, asked.cited),
        ),
        smallest=smallest,
    )


def _for_device(asked: SupplyAsked, device: Protected) -> _Found:
    need = Need(as_installed=device.rating, counted=device.counted)
    smallest = smallest_conductor(conductors_of_run(asked.run), asked.terminals, need)
    return _Found(
        purpose="for its device",
        steps=tuple(smallest_steps("D", f"smallest conductor for the {device.name}", smallest, asked.cited)),
        smallest=smallest,
    )


def _for_dwelling(asked: SupplyAsked, use: DwellingUse) -> _Found:
    required = required_ampacity(use.rating, use.fraction)
    smallest = smallest_conductor(conductors_of_run(asked.run), asked.terminals, Need(as_installed=required))
    written = f"{shown(use.fraction)} x {term(read(use.rating))}"
    return _Found(
        purpose="by the rule for dwelling services",
        steps=(
            step(
                "I_83", "ampacity that the rule for dwelling services asks", written, read(required), "A", use.section
            ),
            *smallest_steps("83", "smallest conductor by the rule for dwelling services", smallest, asked.cited),
        ),
        smallest=smallest,
    )


def _least(
    load: Measurement, device: _Found | None, by_rule: _Found | None, use: DwellingUse | None
) -> tuple[Measurement, str]:
    """Return the area of the smallest conductor that does, and how it comes about.

    Where the rule for dwelling services may be used, its conductors count as good for the rating they serve.
    """
    plain = load if device is None else greatest_of(load, device.area)
    written = f"A_L = {shown(load.interval)}"
    if device is not None:
        written = f"max(A_L, A_D) = max({term(load.interval)}, {term(device.area.interval)})"
    if by_rule is None or use is None:
        return plain, written
    if use.may_use.holds:
        return by_rule.area, f"A_83 = {shown(by_rule.area.interval)}"
    either = plain.interval.hull(by_rule.area.interval)
    missing = () if either.is_point else merged(use.may_use.missing, by_rule.area.missing, plain.missing)
    inputs = merged(use.may_use.inputs, by_rule.area.inputs, plain.inputs)
    written = f"A_83, or {written.partition(' = ')[0]}, as the rule may be used or not = {shown(either)}"
    return Measurement(either, inputs, missing), written


def _last_lines(run: Run, least: Measurement, written: str) -> Iterator[Step]:
    stated = conductor_area(run.size)
    name = f"smallest supply conductor: {sized(least.interval)}"
    proposed = f"supply conductor proposed: {run.size.value or 'not stated'}"
    yield step("A_min", name, written, least.interval, "kcmil", "the greatest of what is asked")
    yield step("A", proposed, shown(stated.interval), stated.interval, "kcmil", f"proposal; {AREAS}")
    yield within_line("supply conductor proposed: large enough", least, stated, "kcmil", "comparison")
