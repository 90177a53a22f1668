"""The published tables, read once from ``data/*.toml`` and checked hard before anything uses them.

A file holds a ``title``, what its ``units`` are, per edition the ``section`` it stands in, where the values are from
(``origin``), a ``reviewed`` mark, and its rows. Each row may name its own origin and mark. The mark of an edition
says whether it was seen that this edition has the table there with these values; the mark of a table or a row
speaks of the values themselves:

* ``verified``: seen in the named published source and equal to it;
* ``common-practice``: a fact of the trade without a source;
* ``from-memory``: not seen in a source, in whole or in part;
* ``unverified``: not to be relied on.
"""

from __future__ import annotations

import functools
import math
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Final

from changeout.tables.shapes import HEADERS, SHAPES, Columns

EDITIONS: Final = ("2017", "2020", "2023", "2026")
MARKS: Final = ("verified", "common-practice", "from-memory", "unverified")


class TableError(Exception):
    """A table's file is not as it must be, or a table was asked for what it does not hold."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table; columns are read by type, so a wrong one is found and named."""

    where: str
    cells: Mapping[str, object]

    def number(self, column: str) -> float:
        """Return a number of the row.

        Raises:
            TableError: if the row has no such number.
        """
        found = self.cells.get(column)
        if isinstance(found, bool) or not isinstance(found, int | float):
            raise TableError(f"{self.where}: {column} is no number: {found!r}")
        return float(found)

    def number_or_none(self, column: str) -> float | None:
        """Return a number of the row, or None where the table prints none."""
        return self.number(column) if column in self.cells else None

    def text(self, column: str) -> str:
        """Return a text of the row.

        Raises:
            TableError: if the row has no such text.
        """
        found = self.cells.get(column)
        if not isinstance(found, str):
            raise TableError(f"{self.where}: {column} is no text: {found!r}")
        return found

    def text_or_none(self, column: str) -> str | None:
        """Return a text of the row, or None where the table prints none."""
        return self.text(column) if column in self.cells else None

    def flag(self, column: str) -> bool:
        """Return a yes or no of the row.

        Raises:
            TableError: if the row has no such flag.
        """
        found = self.cells.get(column)
        if not isinstance(found, bool):
            raise TableError(f"{self.where}: {column} is no true or false: {found!r}")
        return found

    def texts(self, column: str) -> tuple[str, ...]:
        """Return a list of texts of the row.

        Raises:
            TableError: if the row has no such list.
        """
        found = self.cells.get(column)
        if not isinstance(found, list) or not all(isinstance(t, str) for t in found):
            raise TableError(f"{self.where}: {column} is no list of texts: {found!r}")
        return tuple(found)

    def numbers(self, column: str) -> tuple[float, ...]:
        """Return a list of numbers of the row.

        Raises:
            TableError: if the row has no such list.
        """
        found = self.cells.get(column)
        if not isinstance(found, list) or not all(_is_number(n) for n in found):
            raise TableError(f"{self.where}: {column} is no list of numbers: {found!r}")
        return tuple(float(n) for n in found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where an edition has the table, and whether that was seen."""

    section: str
    reviewed: str
    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A published table."""

    name: str
    title: str
    units: Mapping[str, str]
    places: Mapping[str, Place]
    origin: str
    cross_checked: tuple[str, ...]
    reviewed: str
    parts: Mapping[str, tuple[Row, ...]]

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows of the table itself."""
        return self.parts["rows"]

    def __iter__(self) -> Iterator[Row]:
        """Go through the rows of the table itself."""
        return iter(self.rows)

    def row_mark(self, row: Row) -> str:
        """Return how far the values of *row* were reviewed."""
        return row.text_or_none("reviewed") or self.reviewed


@functools.cache
def tables() -> Mapping[str, Table]:
    """Return every table by name, read from the package once.

    Raises:
        TableError: if a file is missing, superfluous or not of its shape; it names file and key.
    """
    folder = resources.files("changeout.tables") / "data"
    files = {f.name.removesuffix(".toml"): f for f in folder.iterdir() if f.name.endswith(".toml")}
    if files.keys() != SHAPES.keys():
        raise TableError(f"tables/data: files and shapes differ in {sorted(files.keys() ^ SHAPES.keys())}")
    return {name: read_table(name, files[name].read_text(encoding="utf-8")) for name in sorted(files)}


def table(name: str) -> Table:
    """Return the table called *name*.

    Raises:
        TableError: if there is none.
    """
    found = tables().get(name)
    if found is None:
        raise TableError(f"there is no table {name}")
    return found


def section(name: str, edition: str) -> str:
    """Return where *edition* has the table called *name*: ``Table 310.16``.

    Raises:
        TableError: if there is no such table or edition.
    """
    place = table(name).places.get(edition)
    if place is None:
        raise TableError(f"{name}.toml: no edition {edition}")
    return place.section


def read_table(name: str, text: str) -> Table:
    """Return the table written in *text*, checked against the shape of *name*.

    Raises:
        TableError: if the text is no TOML or not of the shape; it names file and key.
    """
    file = f"{name}.toml"
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise TableError(f"{file}: {error}") from error
    _check_keys(file, document, {**HEADERS, **dict.fromkeys(SHAPES[name], "rows")})
    origin = document["origin"]
    _check_keys(f"{file}: origin", origin, {"values": "text", "cross_checked": "texts?", "note": "text?"})
    return Table(
        name=name,
        title=document["title"],
        units=_texts_by_key(f"{file}: units", document["units"]),
        places=_places(file, document["editions"]),
        origin=origin["values"],
        cross_checked=tuple(origin.get("cross_checked", ())),
        reviewed=_mark(f"{file}: reviewed", document["reviewed"]),
        parts={part: _rows(f"{file}: {part}", document[part], columns) for part, columns in SHAPES[name].items()},
    )


def _rows(where: str, found: list[object], columns: Columns) -> tuple[Row, ...]:
    rows = []
    for index, cells in enumerate(found):
        place = f"{where}[{index}]"
        if not isinstance(cells, dict):
            raise TableError(f"{place} is no row: {cells!r}")
        _check_keys(place, cells, {**columns, "origin": "text", "reviewed": "mark?", "note": "text?"})
        rows.append(Row(place, cells))
    if not rows:
        raise TableError(f"{where} has no row")
    return tuple(rows)


def _places(file: str, found: Mapping[str, object]) -> Mapping[str, Place]:
    places = {}
    for edition in EDITIONS:
        where = f"{file}: editions.{edition}"
        place = found.get(edition)
        if not isinstance(place, dict):
            raise TableError(f"{where} is missing")
        _check_keys(where, place, {"section": "text", "reviewed": "mark", "origin": "text"})
        places[edition] = Place(section=place["section"], reviewed=place["reviewed"], origin=place["origin"])
    if len(found) != len(EDITIONS):
        raise TableError(f"{file}: editions has more than {EDITIONS}")
    return places


def _texts_by_key(where: str, found: Mapping[str, object]) -> Mapping[str, str]:
    return {key: _text(f"{where}.{key}", value) for key, value in found.items()}


def _check_keys(where: str, found: Mapping[str, object], columns: Columns) -> None:
    unknown = sorted(found.keys() - columns.keys())
    if unknown:
        raise TableError(f"{where}: unknown key {unknown[0]}")
    for key, kind in columns.items():
        if key in found:
            _check(f"{where}.{key}", found[key], kind.removesuffix("?"))
        elif not kind.endswith("?"):
            raise TableError(f"{where}: {key} is missing")


def _check(where: str, value: object, kind: str) -> None:
    good = _KINDS.get(kind)
    if good is None:
        raise TableError(f"{where}: the shape has an unknown kind {kind}")
    if not good(value):
        raise TableError(f"{where} must be of kind {kind}, found {value!r}")


def _mark(where: str, value: object) -> str:
    _check(where, value, "mark")
    return str(value)


def _text(where: str, value: object) -> str:
    _check(where, value, "text")
    return str(value)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value >= 0


def _is_text(value: object) -> bool:
    return isinstance(value, str) and bool(value.strip())


def _are(good: Callable[[object], bool]) -> Callable[[object], bool]:
    return lambda value: isinstance(value, list) and all(good(v) for v in value)


_KINDS: Final[Mapping[str, Callable[[object], bool]]] = {
    "number": _is_number,
    "text": _is_text,
    "flag": lambda value: isinstance(value, bool),
    "mark": lambda value: value in MARKS,
    "numbers": _are(_is_number),
    "texts": _are(_is_text),
    "editions": lambda value: isinstance(value, list) and bool(value) and value == [e for e in EDITIONS if e in value],
    "rows": lambda value: isinstance(value, list),
    "keys": lambda value: isinstance(value, dict),
}
