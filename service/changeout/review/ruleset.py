"""An edition joined with the rules that read it: checked once, digested once, used by every review."""

from __future__ import annotations

import dataclasses
import functools
import hashlib
import json
import math
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import rfc8785

from changeout.domain.findings import Reviewed, RulesetSummary
from changeout.editions.jurisdictions import Ceiling, Jurisdiction
from changeout.editions.rows import Edition, Parameter, Row, RulesetError
from changeout.rules._registry import KINDS, Limits, Rule
from changeout.tables.loads import factors

_EXPONENT: Final = re.compile(r"e[-+]\d\d")
_WHOLE_REAL: Final = re.compile(r"\.0(?!\d)")
"""Numbers as Python writes them and RFC 8785 does not; the same in a text does no harm."""

_KINDS: Final = {"number": float, "flag": bool, "word": str}
_LISTS: Final = {"words": (str, None), "numbers": (float, None), "three numbers": (float, 3)}
"""Of each kind of list, what is in it, and how many where that is set."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruleset:
    """What a proposal is judged by.

    ``digest`` covers everything in the edition and the local ruleset that can change an answer. ``first_asked``
    says since which edition each rule is in force, for rows that are silent.
    """

    edition: Edition
    rules: Mapping[str, Rule]
    limits: Mapping[str, Limits]
    digest: str
    first_asked: Mapping[str, str]
    jurisdiction: str | None = None
    ceilings: tuple[Ceiling, ...] = ()

    @property
    def summary(self) -> RulesetSummary:
        """What a report says of the ruleset it was made with."""
        counted = Counter(row.reviewed for row in self.edition.rows.values())
        return RulesetSummary(
            edition=self.edition.name,
            digest=self.digest,
            rules=len(self.edition.rows),
            reviewed={kind.value: counted.get(kind, 0) for kind in Reviewed},
            preview=self.edition.preview,
            jurisdiction=self.jurisdiction,
        )


def join(
    edition: Edition,
    rules: Mapping[str, Rule],
    first_asked: Mapping[str, str],
    local: Jurisdiction | None = None,
) -> Ruleset:
    """Return the ruleset of an edition, with what a *local* ruleset adds to it besides the rows.

    Raises:
        RulesetError: if a rule has no row, a row has no rule, or a row lacks a parameter that its rule declares.
    """
    file = f"{edition.name}.toml"
    for name in edition.rows:
        if name not in rules:
            raise RulesetError(file, None, f"no rule is called {name}")
    for name, rule in rules.items():
        if name not in edition.rows:
            raise RulesetError(file, None, f"the rule {name} has no row")
        _check_parameters(file, rule, edition.rows[name])
    return Ruleset(
        edition=edition,
        rules=rules,
        limits={
            name: Limits({key: parameter.value for key, parameter in row.parameters.items()})
            for name, row in edition.rows.items()
        },
        digest=sorted_digest_of(
            {
                "edition": edition_object(edition),
                "factors": _factors_object(edition.name),
                "local": plain(local.raw) if local else None,
            }
        ),
        first_asked=first_asked,
        jurisdiction=local.id if local else None,
        ceilings=local.ceilings if local else (),
    )


def first_asked(editions: Mapping[str, Edition]) -> dict[str, str]:
    """Return for each rule the oldest edition in which it is in force (those that are in none are left out)."""
    found: dict[str, str] = {}
    for name, edition in editions.items():
        for rule, row in edition.rows.items():
            if row.in_force:
                found.setdefault(rule, name)
    return found


def _check_parameters(file: str, rule: Rule, row: Row) -> None:
    if not row.is_asked:
        return
    for name in row.parameters:
        if name not in rule.parameters:
            raise RulesetError(file, None, f"{rule.id}: the rule knows no parameter {name}")
    for name, kind in rule.parameters.items():
        if name not in row.parameters:
            if kind.endswith("?"):
                continue
            raise RulesetError(file, None, f"{rule.id}: the parameter {name} is missing")
        if not _is_kind(row.parameters[name], kind.rstrip("?")):
            raise RulesetError(file, None, f"{rule.id}: {name} must be {KINDS[kind.rstrip('?')]}")


def _is_kind(parameter: Parameter, kind: str) -> bool:
    if kind in _LISTS:
        of, length = _LISTS[kind]
        listed = parameter.value
        return (
            isinstance(listed, tuple) and all(isinstance(one, of) for one in listed) and length in {None, len(listed)}
        )
    expected = _KINDS.get(kind)
    return True if expected is None else isinstance(parameter.value, expected)


def edition_object(edition: Edition) -> dict[str, Any]:
    """Return an edition as JSON-ready values, everything that can change an answer or its words."""
    return {
        "name": edition.name,
        "code": edition.code,
        "preview": edition.preview,
        "note": edition.note,
        "rules": [row_object(row) for row in edition.rows.values()],
    }


def row_object(row: Row) -> dict[str, Any]:
    """Return a row as JSON-ready values."""
    return {
        "rule": row.rule,
        "in_force": row.in_force,
        "effect": row.effect.value,
        "section": row.section,
        "also": list(row.also),
        "parameters": {name: parameter_object(p) for name, p in row.parameters.items()},
        "source": row.source,
        "reviewed": row.reviewed.value,
        "note": row.note,
        "local": row.local,
        "local_note": row.local_note,
    }


def parameter_object(parameter: Parameter) -> dict[str, Any]:
    """Return a parameter as JSON-ready values."""
    value = parameter.value
    shown = list(value) if isinstance(value, tuple) else value
    if not isinstance(shown, bool | int | float | str | list):
        shown = str(shown)
    return {"value": shown, "unit": parameter.unit, "source": parameter.source, "local": parameter.local}


def digest_of(value: object) -> str:
    """Return ``sha256:…`` of the canonical JSON (RFC 8785) of *value*."""
    # The standard library writes that form too, and five times as fast, but for some numbers and the order of names.
    text = json.dumps(value, sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    same = text.isascii() and not _EXPONENT.search(text) and not _WHOLE_REAL.search(text)
    canonical = text.encode() if same else rfc8785.dumps(value)  # type: ignore[arg-type]
    return "sha256:" + hashlib.sha256(canonical).hexdigest()


@functools.cache
def _factors_object(edition: str) -> Any:  # noqa: ANN401 - whatever JSON can hold
    return plain(dataclasses.asdict(factors(edition)))


def sorted_digest_of(value: object) -> str:
    """Return ``sha256:…`` of *value* as JSON with sorted members: stable, and quick for the many rows of a ruleset."""
    text = json.dumps(value, sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return "sha256:" + hashlib.sha256(text.encode()).hexdigest()


def plain(value: object) -> Any:  # noqa: ANN401 - whatever JSON can hold
    """Return *value* with tuples as lists, and dates and the like as text: what JSON can hold."""
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if isinstance(value, float) and math.isinf(value):
        return "unbounded"
    return value if value is None or isinstance(value, bool | int | float | str) else str(value)
