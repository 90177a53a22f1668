"""From what a proposal says of its load to the load, by whichever method it names."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from changeout.domain.facts import Choice, Fact, Measurement, Number, PowerOrCurrent, merged
from changeout.domain.interval import Interval
from changeout.domain.proposal import Load
from changeout.electrical.loads import lighting, ratings, reading
from changeout.electrical.loads.appliances import ev_va
from changeout.electrical.loads.existing import existing_load, measured_demand
from changeout.electrical.loads.optional import optional_load
from changeout.electrical.loads.parts import ANY_LOAD, NOTHING, Dwelling, Part, Tally, hull, total
from changeout.electrical.loads.result import LoadResult
from changeout.electrical.loads.shortfall import lighting_shortfall, shortfall_cautions, shortfall_parts
from changeout.electrical.loads.standard import standard_load
from changeout.electrical.steps import shown, term
from changeout.electrical.systems import va_per_ampere
from changeout.tables.loads import LoadFactors

CONTINUOUS_SHARE_ADDED: Final = 0.25
"""A continuous load counts at 125 % for conductors and devices. Source: 215.2, 215.3, 230.42, from memory."""

DWELLING_METHODS: Final[Mapping[str, Callable[[Dwelling, LoadFactors], Tally]]] = {
    "dwelling-standard": standard_load,
    "dwelling-optional": optional_load,
    "dwelling-existing": existing_load,
}


def calculated_load(load: Load, system: Choice, factors: LoadFactors) -> LoadResult:
    """Return the load of a proposal on its supply system, by the method it names and an edition's factors.

    What is not stated is an interval. A system that is not stated is any there is, an appliance of no stated kind any
    kind; the result holds the answer of each.
    """
    tally = hull(_tallies(load, system, factors))
    facts = _facts(load)
    inputs = merged((load.method.at,), *(fact.inputs for fact in facts))
    va = _measurement(tally.va, inputs, _missing(load, system))
    in_lines = _measurement(
        tally.part("I").value, merged(inputs, system.inputs), merged(_missing(load, system), system.missing)
    )
    required = _ev_required(load, system, factors)
    short = lighting_shortfall(load, factors)
    return LoadResult(
        method=load.method,
        va=va,
        amps=in_lines,
        continuous_adjusted_a=_with_continuous_part(in_lines, load.continuous_share),
        general_lighting_va=_measurement(
            lighting.general_lighting_va(load.floor_area_ft2.interval, factors),
            load.floor_area_ft2.inputs,
            load.floor_area_ft2.missing,
        ),
        ev_required_va=required,
        ev_counted_va=_ev_counted(load, required),
        corrected_va=_corrected(va, short),
        corrected_a=_corrected(in_lines, _in_lines(short, system)),
        tally=_completed(tally, load, in_lines, factors),
        assumptions=ratings.assumptions(*_loads(load)),
    )


def _completed(tally: Tally, load: Load, in_lines: Measurement, factors: LoadFactors) -> Tally:
    """Return the tally with the lines that follow the load, and what to say of them."""
    parts = (*tally.parts, _continuous_part(in_lines, load.continuous_share), *shortfall_parts(load, tally.va, factors))
    return Tally(va=tally.va, parts=parts, cautions=(*tally.cautions, *shortfall_cautions(load, factors)))


def _tallies(load: Load, system: Choice, factors: LoadFactors) -> Sequence[Tally]:
    method = load.method.value
    names = ratings.possible_systems(system)
    if method in DWELLING_METHODS:
        return _dwelling_tallies(load, names, factors)
    if method == "stated":
        return [_stated_tally(load, name, factors) for name in names]
    if method == "measured-demand":
        return [_measured_tally(load, name, factors) for name in names]
    return [_on_system(Tally(va=ANY_LOAD, parts=()), name, ANY_LOAD) for name in names]


def _dwelling_tallies(load: Load, systems: Sequence[str], factors: LoadFactors) -> Sequence[Tally]:
    calculate = DWELLING_METHODS[load.method.value or ""]
    cautions = reading.cautions_of_dwelling(load, systems)
    found = []
    # The load itself is computed once where no rating is in amperes or horsepower.
    groups = [(name,) for name in systems] if ratings.depends_on_system(*_loads(load)) else [tuple(systems)]
    for group in groups:
        for described in reading.descriptions(load, group[0], factors.edition):
            tally = calculate(described.dwelling, factors)
            tally = Tally(va=tally.va, parts=(*described.parts, *tally.parts), cautions=(*cautions, *tally.cautions))
            found += [_on_system(tally, name, tally.va / va_per_ampere(name)) for name in group]
    return found


def _stated_tally(load: Load, system: str, factors: LoadFactors) -> Tally:
    stated = load.calculated_load
    part = ratings.conversion_part("S", "calculated load", stated, system, factors.edition) or _stated_part(
        "S", "calculated load, as stated", stated
    )
    return _on_system(Tally(va=part.value, parts=(part,)), system, ratings.load_a(stated, system))


def _measured_tally(load: Load, system: str, factors: LoadFactors) -> Tally:
    parts = tuple(
        ratings.conversion_part(symbol, name, found, system, factors.edition) or _stated_part(symbol, name, found)
        for symbol, name, found in (
            ("S_D", "maximum demand", load.maximum_demand),
            ("S_X", "added load", load.added_load),
        )
    )
    demand, added = (part.value for part in parts)
    percent = shown(factors.measured_demand_percent)
    section = factors.sections["measured_demand_percent"]
    whole = Part(
        symbol="S",
        name="measured demand with what is added",
        expression=lambda: f"{percent} % x {term(demand)} + {term(added)}",
        value=measured_demand(demand, added, factors),
        source=section,
    )
    demand_a, added_a = ratings.load_a(load.maximum_demand, system), ratings.load_a(load.added_load, system)
    in_lines = Part(
        symbol="I",
        name="in amperes",
        expression=lambda: f"{percent} % x {term(demand_a)} A + {term(added_a)} A",
        value=measured_demand(demand_a, added_a, factors),
        source=section,
        unit="A",
    )
    return Tally(va=whole.value, parts=(*parts, whole, in_lines))


def _stated_part(symbol: str, name: str, load: PowerOrCurrent) -> Part:
    value = ANY_LOAD if load.value is None else Interval.exactly(load.value)
    return Part(symbol=symbol, name=name, expression=lambda: shown(value), value=value, source="as stated")


def _on_system(tally: Tally, system: str, in_lines_a: Interval) -> Tally:
    part = Part(
        symbol="I",
        name="in amperes",
        expression=lambda: f"{term(tally.va)} VA / ({ratings.volts_written(system)})",
        value=in_lines_a,
        source=f"I = S / V on {system}",
        unit="A",
    )
    return Tally(va=tally.va, parts=(*tally.parts, part), cautions=tally.cautions)


def _facts(load: Load) -> tuple[Fact, ...]:
    method = load.method.value
    if method in DWELLING_METHODS:
        return reading.facts_of_dwelling(load)
    if method == "stated":
        return (load.calculated_load,)
    return (load.maximum_demand, load.added_load) if method == "measured-demand" else ()


def _loads(load: Load) -> tuple[PowerOrCurrent, ...]:
    """Return the loads whose unit matters to the method."""
    method = load.method.value
    if method in DWELLING_METHODS:
        added = (load.added_load,) if reading.adds_load(load) else ()
        return (*(appliance.rating for appliance in load.appliances), *added)
    return tuple(fact for fact in _facts(load) if isinstance(fact, PowerOrCurrent))


def _missing(load: Load, system: Choice) -> tuple[str, ...]:
    if load.method.value in DWELLING_METHODS:
        missing = reading.missing_of_dwelling(load, ratings.possible_systems(system))
    else:
        missing = merged(load.method.missing, *(fact.missing for fact in _facts(load)))
    return merged(missing, system.missing) if ratings.depends_on_system(*_loads(load)) else missing


def _measurement(interval: Interval, inputs: tuple[str, ...], missing: tuple[str, ...]) -> Measurement:
    return Measurement(interval, inputs, () if interval.is_point else missing, "load")


def _share(continuous_share: Number) -> Interval:
    return Interval(max(0.0, continuous_share.low), min(1.0, continuous_share.high))


def _with_continuous_part(in_lines: Measurement, continuous_share: Number) -> Measurement:
    factor = _share(continuous_share) * CONTINUOUS_SHARE_ADDED + 1.0
    return _measurement(
        in_lines.interval * factor,
        merged(in_lines.inputs, continuous_share.inputs),
        merged(in_lines.missing, continuous_share.missing),
    )


def _continuous_part(in_lines: Measurement, continuous_share: Number) -> Part:
    share = _share(continuous_share)
    return Part(
        symbol="I_C",
        name="in amperes, with the continuous part at 125 %",
        expression=lambda: f"{term(in_lines.interval)} x (1 + {CONTINUOUS_SHARE_ADDED} x {term(share)})",
        value=_with_continuous_part(in_lines, continuous_share).interval,
        source="definition: all of it, and a quarter of its continuous share again",
        unit="A",
    )


def _ev_required(load: Load, system: Choice, factors: LoadFactors) -> Measurement:
    """Return what vehicle charging must count, in VA. A measured demand holds it already: nothing is known of it."""
    if load.method.value == "measured-demand":
        return Measurement(ANY_LOAD, (load.method.at,), (), "load")
    if not load.appliances.stated:
        return _measurement(ANY_LOAD, load.appliances.inputs, load.appliances.missing)
    if reading.ev_is_counted_only(load):
        return _measurement(ev_va(load.ev_counted_va.interval, factors), load.ev_counted_va.inputs, ())
    chargers = [a for a in load.appliances if a.kind.value in {"ev", None}]
    sums = [
        total(
            ev_va(rating, factors) if charger.kind.stated else NOTHING.hull(ev_va(rating, factors))
            for charger in chargers
            for rating in (ratings.load_va(charger.rating, name),)
        )
        for name in ratings.possible_systems(system)
    ]
    interval = Interval(min(s.low for s in sums), max(s.high for s in sums))
    depends = ratings.depends_on_system(*(charger.rating for charger in chargers))
    missing = merged(*(merged(c.kind.missing, c.rating.missing) for c in chargers), system.missing if depends else ())
    return _measurement(interval, merged(load.appliances.inputs, *(c.rating.inputs for c in chargers)), missing)


def _ev_counted(load: Load, required: Measurement) -> Measurement:
    """Return what was counted for vehicle charging, in VA. A dwelling method counts here what is required."""
    if load.ev_counted_va.stated or load.method.value not in DWELLING_METHODS:
        return _measurement(load.ev_counted_va.interval, load.ev_counted_va.inputs, load.ev_counted_va.missing)
    return required


def _in_lines(load: Measurement, system: Choice) -> Measurement:
    """Return a load in VA as amperes of the system, over every system where none is stated."""
    each = [load.interval / va_per_ampere(name) for name in ratings.possible_systems(system)]
    interval = Interval(min(a.low for a in each), max(a.high for a in each))
    return _measurement(interval, merged(load.inputs, system.inputs), merged(load.missing, system.missing))


def _corrected(load: Measurement, shortfall: Measurement) -> Measurement:
    return _measurement(
        load.interval + shortfall.interval,
        merged(load.inputs, shortfall.inputs),
        merged(load.missing, shortfall.missing),
    )
