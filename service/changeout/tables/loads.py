"""Load factors of dwellings, for one edition at a time."""

from __future__ import annotations

import dataclasses
import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeVar

from changeout.tables.load import EDITIONS, Row, TableError, table


@dataclass(frozen=True, slots=True, kw_only=True)
class DemandTier:
    """The part of a load between two limits, and the percent of it that counts."""

    above_va: float
    through_va: float
    percent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DryerDemand:
    """The demand of a number of clothes dryers."""

    from_count: float
    through_count: float
    percent: float
    less_each: float
    above_count: float

    def percent_for(self, count: int) -> float:
        """Return the percent of the sum that counts for *count* dryers of this row."""
        return self.percent - self.less_each * (count - self.above_count)


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeDemand:
    """The demand of a number of ranges and cooking appliances: columns A and B in percent, C in kW."""

    from_count: float
    through_count: float
    column_a_percent: float
    column_b_percent: float
    column_c_kw: float
    column_c_kw_each: float

    def column_c_kw_for(self, count: int) -> float:
        """Return column C in kW for *count* appliances of this row."""
        return self.column_c_kw + self.column_c_kw_each * count


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadFactors:
    """What the load calculations of dwellings need to know of an edition. Percents are as printed: 40 is 40 %.

    A factor that is None was not seen in the edition and must not be guessed. ``sections`` and ``reviewed`` say for
    each factor by name where the edition has it and how far it was reviewed; ``sections`` also of each condition.
    """

    edition: str
    general_lighting_va_per_ft2: float
    circuit_count_va_per_ft2: float
    small_appliance_circuit_va: float
    small_appliance_circuits_least: float
    laundry_circuit_va: float
    laundry_circuits_least: float
    fastened_appliances_least: float
    fastened_appliances_percent: float
    dryer_least_va: float
    range_over_kw: float
    range_column_a_below_kw: float
    range_column_b_through_kw: float
    range_column_c_through_kw: float
    range_raised_through_kw: float
    range_percent_per_kw: float
    cooking_and_dryer_neutral_percent: float
    space_heating_percent: float
    largest_motor_percent: float
    ev_least_va: float
    optional_first_va: float
    optional_first_percent: float
    optional_rest_percent: float
    optional_cooling_percent: float
    optional_heat_pump_percent: float
    optional_supplemental_percent: float
    optional_heating_units_many: float
    optional_heating_few_percent: float
    optional_heating_many_percent: float
    optional_continuous_percent: float
    optional_least_ampacity_a: float
    existing_first_va: float | None
    existing_first_percent: float | None
    existing_rest_percent: float | None
    existing_added_heating_cooling_percent: float | None
    measured_demand_percent: float
    measured_record_days: float
    measured_short_record_days: float
    fastened_excluded_kinds: tuple[str, ...]
    fastened_excluded_below_w: float
    fastened_excluded_below_hp: float
    lighting_demand: tuple[DemandTier, ...]
    dryer_demand: tuple[DryerDemand, ...]
    range_demand: tuple[RangeDemand, ...]
    sections: Mapping[str, str]
    reviewed: Mapping[str, str]

    def dryers(self, count: int) -> DryerDemand:
        """Return the row for *count* clothes dryers.

        Raises:
            TableError: if count is below one.
        """
        return _row_for(self.dryer_demand, count)

    def ranges(self, count: int) -> RangeDemand:
        """Return the row for *count* cooking appliances.

        Raises:
            TableError: if count is below one.
        """
        return _row_for(self.range_demand, count)


DemandRow = TypeVar("DemandRow", DryerDemand, RangeDemand)

_MAY_BE_UNSEEN: Final = {f.name for f in dataclasses.fields(LoadFactors) if "None" in str(f.type)}


@functools.cache
def factors(edition: str) -> LoadFactors:
    """Return the load factors of *edition*.

    Raises:
        TableError: if there is no such edition, or a factor is missing or superfluous.
    """
    if edition not in EDITIONS:
        raise TableError(f"load_factors.toml: no edition {edition}")
    found = table("load_factors")
    rows = {row.text("name"): row for row in found if row.text("edition") == edition}
    exclusion = next(row for row in found.parts["fastened_exclusions"] if row.text("edition") == edition)
    conditions = [row for row in found.parts["conditions"] if row.text("edition") == edition]
    parts: dict[str, Any] = {
        "edition": edition,
        "fastened_excluded_kinds": exclusion.texts("kinds"),
        "fastened_excluded_below_w": exclusion.number("below_w"),
        "fastened_excluded_below_hp": exclusion.number("below_hp"),
        "lighting_demand": tuple(_tier(row) for row in table("lighting_demand")),
        "dryer_demand": tuple(_dryers(row) for row in table("dryer_demand")),
        "range_demand": tuple(_ranges(row) for row in table("range_demand")),
        "sections": {row.text("name"): row.text("section") for row in (*rows.values(), *conditions)},
        "reviewed": {name: found.row_mark(row) for name, row in rows.items()},
    }
    wanted = {f.name for f in dataclasses.fields(LoadFactors)} - parts.keys()
    if rows.keys() != wanted:
        raise TableError(f"load_factors.toml: {edition}: differs in {sorted(rows.keys() ^ wanted)}")
    parts.update({name: _value(name, row) for name, row in rows.items()})
    return LoadFactors(**parts)


def _value(name: str, row: Row) -> float | None:
    return row.number_or_none("value") if name in _MAY_BE_UNSEEN else row.number("value")


def _tier(row: Row) -> DemandTier:
    return DemandTier(
        above_va=row.number("above_va"),
        through_va=_or_no_end(row.number_or_none("through_va")),
        percent=row.number("percent"),
    )


def _dryers(row: Row) -> DryerDemand:
    return DryerDemand(
        from_count=row.number("from_count"),
        through_count=_or_no_end(row.number_or_none("through_count")),
        percent=row.number("percent"),
        less_each=row.number_or_none("less_each") or 0.0,
        above_count=row.number_or_none("above_count") or 0.0,
    )


def _ranges(row: Row) -> RangeDemand:
    return RangeDemand(
        from_count=row.number("from_count"),
        through_count=_or_no_end(row.number_or_none("through_count")),
        column_a_percent=row.number("column_a_percent"),
        column_b_percent=row.number("column_b_percent"),
        column_c_kw=row.number("column_c_kw"),
        column_c_kw_each=row.number_or_none("column_c_kw_each") or 0.0,
    )


def _or_no_end(value: float | None) -> float:
    return math.inf if value is None else value


def _row_for(rows: tuple[DemandRow, ...], count: int) -> DemandRow:
    for row in rows:
        if row.from_count <= count <= row.through_count:
            return row
    raise TableError(f"no demand row for {count} appliances")
