"""Read edition files, and refuse what is not in order, naming file and line."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from itertools import pairwise
from typing import Any, Final

from changeout.domain.findings import Effect, Reviewed
from changeout.domain.vocabulary import EDITIONS
from changeout.editions.rows import Edition, Parameter, Row, RulesetError, Value

UNIT_ENDINGS: Final = (
    ("_va_per_ft2", "VA/ft2"),
    ("_degc", "degC"),
    ("_percent", "percent"),
    ("_days", "d"),
    ("_ohm", "ohm"),
    ("_in", "in"),
    ("_va", "VA"),
    ("_a", "A"),
    ("_v", "V"),
)
"""The ending of a parameter's name and the unit it must have."""

_ROW_KEYS: Final = {"in_force", "effect", "section", "also", "note", "source", "reviewed", "parameters"}
_PARAMETER_KEYS: Final = {"value", "unit", "source"}


class Place:
    """Where in a file something stands: finds the line of a table's head, and of a key in it."""

    def __init__(self, file: str, text: str) -> None:
        """Keep the file's lines."""
        self.file = file
        self._lines = text.splitlines()

    def error(self, reason: str, head: str = "", key: str = "", entry: int = 0) -> RulesetError:
        """Return an error at *key* below the table *head*, or at the head, or in the file.

        *entry* counts the tables of this head from 1; with 0 the first that has the key is meant.
        """
        return RulesetError(self.file, self._line(head, key, entry), reason)

    def _line(self, head: str, key: str, entry: int) -> int | None:
        tables = self._tables(head)
        if entry:
            tables = tables[entry - 1 : entry]
        for first, last in tables:
            # A key may begin its line, or stand within a table in braces.
            for pattern in (rf"\s*\"?{re.escape(key)}\"?\s*=", rf".*[{{,]\s*\"?{re.escape(key)}\"?\s*="):
                for number in range(first, last):
                    if key and re.match(pattern, self._lines[number]):
                        return number + 1
        return tables[-1][0] if tables else None

    def _tables(self, head: str) -> list[tuple[int, int]]:
        """Return the lines of each table of this head: the first after the head, and the one after the last."""
        heads = [number for number, line in enumerate(self._lines) if line.startswith("[")]
        named = {f"[{head}]", f"[[{head}]]"}
        return [
            (first + 1, end)
            for first, end in pairwise([*heads, len(self._lines)])
            if self._lines[first].strip() in named
        ]


def parse_toml(file: str, text: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Raises:
        RulesetError: naming the line, if the text is no TOML.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        found = re.search(r"line (\d+)", str(problem))
        line = int(found.group(1)) if found else max(1, len(text.splitlines()))
        raise RulesetError(file, line, f"not TOML: {problem}") from None


@cache
def load_editions() -> Mapping[str, Edition]:
    """Return the shipped editions by name, oldest first.

    Raises:
        RulesetError: if a file is not in order.
    """
    folder = resources.files("changeout.editions")
    return {
        name: read_edition(f"{name}.toml", folder.joinpath(f"{name}.toml").read_text(encoding="utf-8"))
        for name in EDITIONS
    }


def read_edition(file: str, text: str) -> Edition:
    """Return the edition of a TOML text, every row checked in itself.

    Raises:
        RulesetError: naming file and line of the first thing that is not in order.
    """
    place, tables = Place(file, text), parse_toml(file, text)
    for unknown in sorted(set(tables) - {"edition", "rule"}):
        raise place.error(f"unknown table {unknown}", unknown)
    head, rows = tables.get("edition"), tables.get("rule")
    if not isinstance(head, dict) or not isinstance(rows, dict):
        raise place.error("the tables [edition] and [rule.NAME] are expected")
    for key, kind in (("name", str), ("code", str), ("preview", bool), ("note", str)):
        if not isinstance(head.get(key), kind):
            raise place.error(f"[edition] needs {key}, a {kind.__name__}", "edition", key)
    if set(head) - {"name", "code", "preview", "note"}:
        raise place.error("[edition] has an unknown key", "edition")
    return Edition(
        name=head["name"],
        code=head["code"],
        preview=head["preview"],
        note=head["note"],
        rows={rule: read_row(place, rule, row) for rule, row in rows.items()},
    )


def read_row(place: Place, rule: str, row: object) -> Row:
    """Return one row, checked in itself.

    Raises:
        RulesetError: if a key is unknown, missing or of the wrong kind.
    """
    head = f"rule.{rule}"
    if not isinstance(row, dict):
        raise place.error(f"{head} is no table", head)
    unknown = sorted(set(row) - _ROW_KEYS)
    if unknown:
        raise place.error(f"{rule}: unknown key {unknown[0]}", head, unknown[0])
    if not isinstance(row.get("in_force"), bool):
        raise place.error(f"{rule}: in_force must be true or false", head, "in_force")
    effect = _word(place, head, row, "effect", [e.value for e in Effect])
    reviewed = _word(place, head, row, "reviewed", [r.value for r in Reviewed])
    section, source = row.get("section"), row.get("source")
    if not isinstance(source, str) or not source.strip():
        raise place.error(f"{rule}: a source is needed, or the words 'from memory'", head, "source")
    if section is not None and (not isinstance(section, str) or not section.strip()):
        raise place.error(f"{rule}: section must be a text", head, "section")
    if row["in_force"] and effect == Effect.NONE.value:
        raise place.error(f"{rule}: a row in force has an effect", head, "effect")
    also = row.get("also", [])
    if not isinstance(also, list) or not all(isinstance(a, str) for a in also):
        raise place.error(f"{rule}: also must be a list of texts", head, "also")
    if not isinstance(row.get("note", ""), str):
        raise place.error(f"{rule}: note must be a text", head, "note")
    parameters = row.get("parameters", {})
    if not isinstance(parameters, dict):
        raise place.error(f"{rule}: parameters must be a table", head, "parameters")
    return Row(
        rule=rule,
        in_force=row["in_force"],
        effect=Effect(effect),
        section=section,
        also=tuple(also),
        parameters={name: read_parameter(place, rule, name, value) for name, value in parameters.items()},
        source=source,
        reviewed=Reviewed(reviewed),
        note=row.get("note"),
    )


def _word(place: Place, head: str, row: Mapping[str, Any], key: str, allowed: list[str]) -> str:
    value = row.get(key)
    if value not in allowed:
        raise place.error(f"{head}: {key} must be one of {', '.join(allowed)}", head, key)
    return str(value)


def read_parameter(place: Place, rule: str, name: str, entry: object) -> Parameter:
    """Return one parameter, its unit checked against its name.

    Raises:
        RulesetError: if the entry is not of the form ``{ value = …, unit = … }`` or the unit is wrong.
    """
    head = f"rule.{rule}.parameters"
    if not isinstance(entry, dict) or "value" not in entry or set(entry) - _PARAMETER_KEYS:
        raise place.error(f"{rule}: {name} must be {{ value = …, unit = … }}", head, name)
    value = _value(entry["value"])
    if value is None:
        raise place.error(f"{rule}: {name} has a value of no known kind", head, name)
    expected = expected_unit(name, value)
    if entry.get("unit") != expected:
        wanted = f"the unit {expected}" if expected else "no unit"
        raise place.error(f"{rule}: {name} must have {wanted}, and has {entry.get('unit')!r}", head, name)
    return Parameter(value=value, unit=expected, source=entry.get("source"))


def expected_unit(name: str, value: Value) -> str | None:
    """Return the unit that a parameter of this name and value must have, None for words, flags and counts."""
    sample = value[0] if isinstance(value, tuple) and value else value
    if isinstance(sample, bool) or not isinstance(sample, int | float):
        return "A" if value == () and name.endswith("_a") else None
    return next((unit for ending, unit in UNIT_ENDINGS if name.endswith(ending)), None)


def _value(raw: object) -> Value | None:
    if isinstance(raw, bool | str):
        return raw
    if isinstance(raw, int | float):
        return float(raw)
    if isinstance(raw, dt.date) and not isinstance(raw, dt.datetime):
        return raw
    if isinstance(raw, list):
        if all(isinstance(v, str) for v in raw):
            return tuple(raw)
        if all(isinstance(v, int | float) and not isinstance(v, bool) for v in raw):
            return tuple(float(v) for v in raw)
    return None
