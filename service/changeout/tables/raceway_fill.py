"""Areas of conductors and raceways, and how much of a raceway conductors may fill. Areas in square inches."""

from __future__ import annotations

from changeout.tables.load import Row, TableError, table


def conductor_area_in2(size: str, insulation: str) -> float:
    """Return the area of an insulated conductor; *insulation* is ``thhn`` (THWN too) or ``xhhw``.

    Raises:
        TableError: if the table has no such size or insulation.

    Source: Chapter 9 Table 5, conductor_area.toml.
    """
    for row in table("conductor_area"):
        if row.text("size") == size:
            return row.number(f"{insulation}_in2")
    raise TableError(f"conductor_area.toml: no size {size}")


def trade_sizes(conduit: str) -> tuple[str, ...]:
    """Return the trade sizes of a *conduit* (EMT, RMC, PVC-40, PVC-80), least first.

    Raises:
        TableError: if there is no such conduit.
    """
    found = tuple(row.text("trade_size") for row in table("conduit_area") if row.text("conduit") == conduit)
    if not found:
        raise TableError(f"conduit_area.toml: no conduit {conduit}")
    return found


def conduit_area_in2(conduit: str, trade_size: str) -> float:
    """Return the whole area of a conduit.

    Raises:
        TableError: if the table has no such conduit or trade size.

    Source: Chapter 9 Table 4, conduit_area.toml.
    """
    return _conduit(conduit, trade_size).number("area_in2")


def conduit_area_40_percent_in2(conduit: str, trade_size: str) -> float:
    """Return the printed 40 % area of a conduit, for three conductors or more.

    Raises:
        TableError: if the table has no such conduit or trade size.

    Source: Chapter 9 Table 4, conduit_area.toml.
    """
    return _conduit(conduit, trade_size).number("area_40_percent_in2")


def fill_percent(conductors: str) -> float:
    """Return the percent that may be filled by ``one``, ``two``, ``three or more``, or in a ``nipple not over 24 in``.

    Raises:
        TableError: if there is no such row.

    Source: Chapter 9 Table 1 and Note 4, conduit_area.toml.
    """
    for row in table("conduit_area").parts["fill_limits"]:
        if row.text("conductors") == conductors:
            return row.number("percent")
    raise TableError(f"conduit_area.toml: no fill limit for {conductors}")


def _conduit(conduit: str, trade_size: str) -> Row:
    for row in table("conduit_area"):
        if row.text("conduit") == conduit and row.text("trade_size") == trade_size:
            return row
    raise TableError(f"conduit_area.toml: no {conduit} {trade_size}")
