"""Which cases show each rule in each edition, and where none can: the table of what the rules are tested with.

For every rule and edition there is a case that passes, one that fails, one that cannot tell and one on the limit; and
where the row differs from that of the edition before, the same facts under both, answered differently. Where a case
cannot be, the file of cases says why.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

from changeout.editions.rows import Edition, Row
from changeout.rules._registry import Rule

KINDS: Final = ("passes", "fails", "cannot-tell", "limit")
"""The kinds of case that every rule has in every edition, or a reason."""

DIFFERS: Final = "differs"
COLUMNS: Final = (*KINDS, DIFFERS)
ANY_EDITION: Final = "*"

_HEADS: Final = {
    "passes": "passes",
    "fails": "fails",
    "cannot-tell": "cannot tell",
    "limit": "on the limit",
    "differs": "differs from the edition before",
}
_OLDEST: Final = "oldest"
_ANSWERS: Final = ("outcome", "required", "section", "says")
"""What a case can expect of a finding by which two editions can be seen to differ."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What shows one kind of answer of a rule in an edition: cases by name, or the reason why there is none.

    ``needed`` is false where nothing is to be shown: the row is as in the edition before, or there is none before.
    """

    cases: tuple[str, ...] = ()
    reason: str | None = None
    needed: bool = True

    @property
    def is_empty(self) -> bool:
        """Whether something is to be shown and is not."""
        return self.needed and not self.cases and self.reason is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A rule in one edition, a cell for each column."""

    row: Row
    edition: str
    cells: Mapping[str, Cell]


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleCoverage:
    """A rule in every edition, oldest first, with the reasons that its file of cases gives."""

    rule: Rule
    lines: tuple[Line, ...]
    gaps: Mapping[str, str]


def coverage(
    rules: Mapping[str, Rule], editions: Mapping[str, Edition], cases: Mapping[str, Mapping[str, Any]]
) -> tuple[RuleCoverage, ...]:
    """Return what shows each rule, from the files of *cases* as they were read, in the order of the oldest edition."""
    oldest = next(iter(editions.values()))
    return tuple(_of_rule(rules[name], editions, cases.get(name, {})) for name in oldest.rows if name in rules)


def _of_rule(rule: Rule, editions: Mapping[str, Edition], table: Mapping[str, Any]) -> RuleCoverage:
    gaps: Mapping[str, str] = table.get("gaps", {})
    before: dict[str, str | None] = dict.fromkeys(list(editions)[:1]) | {b: a for a, b in pairwise(editions)}
    lines = []
    for name, edition in editions.items():
        cells = {kind: Cell(cases=_of_kind(table, name, kind), reason=_reason(gaps, name, kind)) for kind in KINDS}
        former = before[name]
        cells[DIFFERS] = _difference(rule.id, editions, table, former, name)
        lines.append(Line(row=edition.rows[rule.id], edition=name, cells=cells))
    return RuleCoverage(rule=rule, lines=tuple(lines), gaps=gaps)


def _of_kind(table: Mapping[str, Any], edition: str, kind: str) -> tuple[str, ...]:
    return tuple(c["name"] for c in table.get("case", ()) if c["kind"] == kind and edition in c["editions"])


def _reason(gaps: Mapping[str, str], edition: str, column: str) -> str | None:
    return gaps.get(f"{edition} {column}", gaps.get(f"{ANY_EDITION} {column}"))


def _difference(
    rule: str, editions: Mapping[str, Edition], table: Mapping[str, Any], former: str | None, edition: str
) -> Cell:
    if former is None:
        return Cell(needed=False, reason=_OLDEST)
    if not rows_differ(editions[former].rows[rule], editions[edition].rows[rule]):
        return Cell(needed=False)
    shown = [after["name"] for _, after in pairs(table, former, edition)]
    return Cell(cases=tuple(dict.fromkeys(shown)), reason=_reason(table.get("gaps", {}), edition, DIFFERS))


def rows_differ(before: Row, row: Row) -> bool:
    """Whether two editions' rows of a rule can answer differently: by force, effect or a parameter."""
    return decisive(before) != decisive(row)


def decisive(row: Row) -> tuple[bool, str, Mapping[str, object]]:
    """Return what of a row decides an answer: in force, effect, the values of its parameters."""
    return row.in_force, row.effect.value, {name: p.value for name, p in row.parameters.items()}


def pairs(table: Mapping[str, Any], former: str, edition: str) -> Iterator[tuple[Mapping[str, Any], Mapping[str, Any]]]:
    """Yield each two cases of the same facts, one in either edition, that expect different answers."""
    for before in table.get("case", ()):
        if former not in before["editions"]:
            continue
        for after in table["case"]:
            if edition in after["editions"] and _same_facts(table, before, after) and _unlike(before, after):
                yield before, after


def _same_facts(table: Mapping[str, Any], one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    subjects = {c["subject"] for c in (one, other) if "subject" in c}
    return len(subjects) < 2 and _facts(table, one) == _facts(table, other)


def _facts(table: Mapping[str, Any], case: Mapping[str, Any]) -> str:
    facts = {"start": case.get("start", table["start"]), "set": case.get("set", {}), "remove": case.get("remove", [])}
    return json.dumps(facts, sort_keys=True, default=str)


def _unlike(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return any(one.get(answer) != other.get(answer) for answer in _ANSWERS)


def empty_cells(found: Sequence[RuleCoverage]) -> list[str]:
    """Return the cells that show nothing and give no reason, as ``rule: edition column``."""
    return [
        f"{one.rule.id}: {line.edition} {column}"
        for one in found
        for line in one.lines
        for column, cell in line.cells.items()
        if cell.is_empty
    ]


def coverage_page(found: Sequence[RuleCoverage], cases: Mapping[str, Mapping[str, Any]]) -> str:
    """Return the table as a page of documentation (Markdown)."""
    return "\n".join(_page_lines(found, cases)) + "\n"


def _page_lines(found: Sequence[RuleCoverage], cases: Mapping[str, Mapping[str, Any]]) -> Iterator[str]:
    cells = [cell for one in found for line in one.lines for cell in line.cells.values() if cell.needed]
    runs = sum(len(c["editions"]) for table in cases.values() for c in table.get("case", ()))
    shown = sum(1 for cell in cells if cell.cases)
    yield "# What the rules are tested with"
    yield ""
    yield "Written by `changeout ruleset coverage`; a test compares it with the rules. A number counts cases: the ones"
    yield "that `changeout explain RULE` shows some of, each with the source of what is expected. Where the row of an"
    yield "edition can answer otherwise than that of the edition before, the last column counts cases that do, on the"
    yield "same facts. A dash stands for a reason, given below the table."
    yield ""
    yield (
        f"{len(found)} rules; {runs} cases, one counted in each edition that it is run in. {shown} cells hold cases, "
        f"{len(cells) - shown} a reason."
    )
    group = ""
    for one in found:
        if one.rule.group != group:
            group = one.rule.group
            yield ""
            yield f"## {group.replace('-', ' ').capitalize()}"
        yield from _rule_lines(one)


def _rule_lines(one: RuleCoverage) -> Iterator[str]:
    yield ""
    yield f"### {one.rule.id}"
    yield ""
    yield f"{one.rule.title}."
    yield ""
    yield f"| edition | section | {' | '.join(_HEADS[column] for column in COLUMNS)} |"
    yield "|---" * (2 + len(COLUMNS)) + "|"
    for line in one.lines:
        section = line.row.section or "none"
        force = section if line.row.in_force else f"{section}, not in force"
        yield f"| {line.edition} | {force} | {' | '.join(_shown(line.cells[column]) for column in COLUMNS)} |"
    if one.gaps:
        yield ""
    for gap, reason in one.gaps.items():
        edition, column = gap.split(" ", 1)
        where = "every edition" if edition == ANY_EDITION else edition
        yield f"- {_HEADS[column]}, {where}: {reason}"


def _shown(cell: Cell) -> str:
    if not cell.needed:
        return cell.reason or "no"
    return str(len(cell.cases)) if cell.cases else "-"
