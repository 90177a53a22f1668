"""Sizes of grounding and bonding conductors at a panelboard, line by line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from changeout.domain.calculation import Step
from changeout.domain.facts import Choice, Choices, Claim, Measured, Measurement
from changeout.domain.interval import Interval
from changeout.domain.proposal import Grounding, GroundingConductor, Run, Supply
from changeout.domain.truth import Truth
from changeout.domain.value import value
from changeout.electrical.grounding import (
    Caps,
    Upsizing,
    bonding_jumper,
    conductor_area,
    electrode_conductor,
    equipment_grounding,
    equipment_grounding_kcmil,
    equivalent_area,
)
from changeout.electrical.size_sections import Section, joined, read, result_of, within_line
from changeout.electrical.smallest_conductor import AREAS, sized
from changeout.electrical.steps import remark, shown, step, term
from changeout.tables.conductors import MATERIALS, area_kcmil
from changeout.tables.grounding import bonding_jumper_fraction, bonding_jumper_greatest_size, bonding_jumper_size

_MAKERS_PARTS: Final = ("screw", "strap")
_JUMPER_TABLE: Final = "Table 250.102(C)(1)"


@value(frozen=True, slots=True, kw_only=True)
class GroundingSections:
    """Where an edition has what it asks of each conductor."""

    electrode: str
    jumper: str
    equipment: str


@value(frozen=True, slots=True, kw_only=True)
class GroundingLimits:
    """What an edition sets: the caps of single kinds of electrode, and the percent above the jumpers' table.

    None: as the tables print them.
    """

    caps: Caps | None = None
    over_table_percent: float | None = None


@value(frozen=True, slots=True, kw_only=True)
class GroundingAsked:
    """Which conductors are asked for at a panelboard and what their sizes go by.

    ``service``: it is service equipment. ``own_source``: the supply conductors come from a transformer on the premises.
    ``device_ahead`` is the device ahead of a feeder on its side of any transformer, in amperes, None where there is
    none.
    """

    run: Run
    supply: Supply
    grounding: Grounding
    service: Claim
    own_source: bool
    device_ahead: Measured | None
    limits: GroundingLimits
    sections: GroundingSections


def grounding_section(asked: GroundingAsked) -> Section:
    """Return the lines of every grounding and bonding conductor that is asked for."""
    separate = asked.supply.separate_building.claim
    own = Claim(Truth.of(asked.own_source))
    parts = [_supply_area(asked)]
    for wanted, made in (
        (asked.service | own | separate, _electrode),
        (asked.service | own, _jumper),
        (~asked.service, _equipment),
    ):
        if not wanted.fails:
            section = made(asked)
            parts.append(replace(section, cautions=(*section.cautions, *_doubt(section, wanted))))
    return joined(parts)


def _doubt(section: Section, wanted: Claim) -> Iterator[str]:
    if wanted.unknown and section.results:
        open_ = ", ".join(wanted.missing)
        yield f"Whether the {section.results[0].name} is asked here depends on what is not stated: {open_}."


def _supply_area(asked: GroundingAsked) -> Section:
    run = asked.run
    total, each = equivalent_area(run), conductor_area(run.size)
    written = f"{term(run.sets.interval)} x {term(each.interval)}"
    name = f"supply conductors of one line together, {run.size.value or 'size not stated'}"
    return Section(steps=(step("A_s", name, written, total.interval, "kcmil", AREAS),), rests_on=())


def _electrode(asked: GroundingAsked) -> Section:
    conductor, electrodes = asked.grounding.electrode_conductor, asked.grounding.electrodes
    section = asked.sections.electrode
    by_table = electrode_conductor(asked.run, conductor.material, Choices(electrodes.at, ()))
    required = electrode_conductor(asked.run, conductor.material, electrodes, asked.limits.caps)
    what, material = "grounding electrode conductor", _material(conductor)
    reached = "any electrodes" if electrodes.values is None else ", ".join(electrodes.values) or "no electrodes"
    tabled, needed = (f"{sized(area.interval)}, {material}" for area in (by_table, required))
    steps = (
        _table_line("A_t", f"{what} by the table: {tabled}", by_table, section),
        _table_line("A_g", f"{what} to {reached}: {needed}", required, f"{section}; 250.66(A) to (C)"),
        *_proposed("A_g'", what, conductor, required),
    )
    return Section(steps=steps, results=(result_of(conductor.at, what, required, "kcmil"),), rests_on=(required,))


def _jumper(asked: GroundingAsked) -> Section:
    """Return the lines of the main bonding jumper, or of the one at a transformer, of which a proposal says nothing."""
    jumper, section = asked.grounding.main_bonding_jumper, asked.sections.jumper
    service = not asked.service.fails
    what = "main bonding jumper" if service else "system bonding jumper"
    if service and jumper.kind.value in _MAKERS_PARTS:
        words = f"a {jumper.kind.value} that the maker of listed equipment supplies has no size to be found"
        return Section(steps=(remark("-", what, words, section),))
    required = bonding_jumper(asked.run, jumper.material, asked.limits.over_table_percent)
    name = f"{what}: {sized(required.interval)}, {_material(jumper)}"
    written = _jumper_written(asked, jumper.material, required)
    return Section(
        steps=(
            step("A_b", name, written, required.interval, "kcmil", f"{section}; {_JUMPER_TABLE}"),
            *(_proposed("A_b'", what, jumper, required) if service else ()),
        ),
        results=(result_of(jumper.at, what, required, "kcmil"),),
        rests_on=(required,) if service else (),
    )


def _jumper_written(asked: GroundingAsked, material: Choice, required: Measurement) -> str:
    """Return how the size comes about: the table's, or above the table a part of the supply conductors' area."""
    total, own = equivalent_area(asked.run).interval, material.value
    if own is None or own != asked.run.material.value or not total.is_point:
        return shown(required.interval)
    if bonding_jumper_size(total.low, own, own) is not None:
        return shown(required.interval)
    percent = asked.limits.over_table_percent
    fraction = bonding_jumper_fraction() if percent is None else percent / 100.0
    return f"max({shown(area_kcmil(bonding_jumper_greatest_size(own)))}, {shown(fraction)} x {shown(total)})"


def _equipment(asked: GroundingAsked) -> Section:
    conductor, section = asked.grounding.equipment_grounding_conductor, asked.sections.equipment
    what, device = "equipment grounding conductor", asked.device_ahead
    if conductor.kind.value == "raceway":
        return Section(steps=(remark("-", what, "the raceway serves as it; no wire is sized", section),))
    if device is None:
        return _supply_side_jumper(asked)
    upsizing = Upsizing(done=asked.supply.conductors_upsized, original=asked.supply.upsized_from)
    required = equipment_grounding(asked.run, device, conductor.material, upsizing)
    base = _base(device, conductor.material)
    steps = (
        step("I_f", "device ahead of the feeder", shown(read(device)), read(device), "A", "proposal"),
        step("A_0", f"{what} by the table: {sized(base)}, {_material(conductor)}", shown(base), base, "kcmil", section),
        step(
            "A_e",
            f"{what}: {sized(required.interval)}, {_material(conductor)}",
            _equipment_written(asked, base, required),
            required.interval,
            "kcmil",
            f"{section}; 250.122(A) and (B)",
        ),
        *_proposed("A_e'", what, conductor, required),
    )
    return Section(
        steps=steps,
        results=(result_of(conductor.at, what, required, "kcmil"),),
        rests_on=(required,),
    )


def _supply_side_jumper(asked: GroundingAsked) -> Section:
    """Return the lines of the wire that comes straight from a transformer, with no device between.

    Source: 250.30(A)(2), from memory, unreviewed.
    """
    conductor, what = asked.grounding.equipment_grounding_conductor, "supply-side bonding jumper"
    required = bonding_jumper(asked.run, conductor.material, asked.limits.over_table_percent)
    written = _jumper_written(asked, conductor.material, required)
    name = f"{what}: {sized(required.interval)}, {_material(conductor)}"
    steps = (
        remark("-", "equipment grounding conductor", f"no device stands ahead: it is a {what}", "250.30(A)(2)"),
        step("A_j", name, written, required.interval, "kcmil", _JUMPER_TABLE),
        *_proposed("A_j'", what, conductor, required),
    )
    return Section(steps=steps, results=(result_of(conductor.at, what, required, "kcmil"),), rests_on=(required,))


def _base(device: Measured, material: Choice) -> Interval:
    materials = MATERIALS if material.value is None else (material.value,)
    ends = [equipment_grounding_kcmil(end, m) for end in (device.low, device.high) for m in materials]
    return Interval(min(ends), max(ends))


def _equipment_written(asked: GroundingAsked, base: Interval, required: Measurement) -> str:
    """Return how the size comes about: in proportion where the conductors were raised, never above their own."""
    supply, run = asked.supply, asked.run
    area, original = equivalent_area(run), supply.upsized_from.value
    written = shown(base)
    if not required.interval.is_point:
        return shown(required.interval)
    if supply.conductors_upsized.claim.holds and original is not None:
        needed = f"{term(run.sets.interval)} x {shown(area_kcmil(original))}"
        written = f"max({written}, {written} x {shown(area.interval)} / ({needed}))"
    if asked.grounding.equipment_grounding_conductor.material.value == run.material.value and area.interval.is_point:
        written = f"min({written}, {shown(area.interval)})"
    return written


def _table_line(symbol: str, name: str, found: Measurement, source: str) -> Step:
    return step(symbol, name, shown(found.interval), found.interval, "kcmil", source)


def _proposed(symbol: str, what: str, conductor: GroundingConductor, required: Measurement) -> Iterator[Step]:
    if conductor.kind.value == "none":
        yield remark("-", f"{what} proposed", "none", "proposal")
        return
    stated = conductor_area(conductor.size)
    name = f"{what} proposed: {conductor.size.value or 'size not stated'}"
    yield step(symbol, name, shown(stated.interval), stated.interval, "kcmil", f"proposal; {AREAS}")
    yield within_line(f"{what} proposed: large enough", required, stated, "kcmil", "comparison")


def _material(conductor: GroundingConductor) -> str:
    return conductor.material.value or "copper or aluminum"
