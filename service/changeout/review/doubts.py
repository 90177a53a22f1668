"""What the rulesets rest on that nobody has read: rows, parameters and tables from memory, or not verified."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from changeout.domain.findings import Reviewed
from changeout.editions.rows import Edition, Row
from changeout.tables.load import Table

_IN_DOUBT: Final = frozenset({Reviewed.FROM_MEMORY, Reviewed.UNVERIFIED})
_SAYS_SO: Final = re.compile(r"from memory|not verified|unverified|unreviewed|not seen")
"""How the source of a parameter says that it was not read, where its row was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Something in an edition that rests on no source that was read.

    ``parameter`` names the value in doubt where the rest of the row is not, else it is None.
    """

    edition: str
    rule: str
    section: str | None
    reviewed: Reviewed
    source: str
    parameter: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TableDoubt:
    """A published table in doubt: its values as a whole, some of its rows, or that an edition has it there."""

    table: str
    title: str
    values: Reviewed | None
    rows: int
    editions: tuple[str, ...]
    origin: str


def doubts(editions: Iterable[Edition]) -> tuple[Doubt, ...]:
    """Return every row and parameter from memory or not verified, edition by edition in the order of the rules."""
    return tuple(doubt for edition in editions for row in edition.rows.values() for doubt in _of_row(edition.name, row))


def _of_row(edition: str, row: Row) -> Iterator[Doubt]:
    if row.reviewed in _IN_DOUBT:
        yield Doubt(edition=edition, rule=row.rule, section=row.section, reviewed=row.reviewed, source=row.source)
        return
    for name, parameter in row.parameters.items():
        if parameter.source is not None and _SAYS_SO.search(parameter.source):
            yield Doubt(
                edition=edition,
                rule=row.rule,
                section=row.section,
                reviewed=Reviewed.FROM_MEMORY,
                source=parameter.source,
                parameter=name,
            )


def table_doubts(tables: Mapping[str, Table]) -> tuple[TableDoubt, ...]:
    """Return every table of which something is from memory or not verified."""
    found = []
    for name, table in tables.items():
        whole = Reviewed(table.reviewed)
        rows = sum(Reviewed(table.row_mark(row)) in _IN_DOUBT for part in table.parts.values() for row in part)
        editions = tuple(edition for edition, place in table.places.items() if Reviewed(place.reviewed) in _IN_DOUBT)
        if rows or editions or whole in _IN_DOUBT:
            found.append(
                TableDoubt(
                    table=name,
                    title=table.title,
                    values=whole if whole in _IN_DOUBT else None,
                    rows=rows,
                    editions=editions,
                    origin=table.origin,
                )
            )
    return tuple(found)


def doubts_page(editions: Mapping[str, Edition], tables: Mapping[str, Table]) -> str:
    """Return the list as a page of documentation (Markdown)."""
    return "\n".join(_page_lines(editions, tables)) + "\n"


def _page_lines(editions: Mapping[str, Edition], tables: Mapping[str, Table]) -> Iterator[str]:
    yield "# What is not known"
    yield ""
    yield "Written by `changeout ruleset doubts`; a test compares it with the rows. No edition of the code itself was"
    yield "read: *verified* means seen in the published source named. What stands here was not seen in one. A finding"
    yield "that rests on such a row says so. Confirm each in the adopted code before relying on it."
    yield ""
    yield "| edition | verified | common practice | from memory | unverified |"
    yield "|---|---|---|---|---|"
    for name, edition in editions.items():
        counted = Counter(row.reviewed for row in edition.rows.values())
        yield f"| {name} | {' | '.join(str(counted[kind]) for kind in Reviewed)} |"
    for name, edition in editions.items():
        yield ""
        yield f"## Edition {name}"
        yield ""
        yield from _edition_lines(edition)
    yield ""
    yield "## Tables"
    yield ""
    yield "| table | values | rows in doubt | editions for which its place is in doubt | origin |"
    yield "|---|---|---|---|---|"
    for doubt in table_doubts(tables):
        values = _words(doubt.values) if doubt.values is not None else "read"
        places = ", ".join(doubt.editions) or "none"
        yield f"| {_cell(doubt.title)} | {values} | {doubt.rows} | {places} | {_cell(doubt.origin)} |"


def _edition_lines(edition: Edition) -> Iterator[str]:
    found = doubts([edition])
    if not found:
        yield "Nothing: every row was read, or is common practice."
        return
    yield "| rule | section | how it is known | source |"
    yield "|---|---|---|---|"
    for doubt in found:
        what = f"`{doubt.rule}`" + (f", its {doubt.parameter}" if doubt.parameter else "")
        yield f"| {what} | {doubt.section or 'none'} | {_words(doubt.reviewed)} | {_cell(doubt.source)} |"


def _words(reviewed: Reviewed) -> str:
    return reviewed.value.replace("-", " ")


def _cell(text: str) -> str:
    return text.replace("|", "\\|")
