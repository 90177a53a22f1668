"""The published JSON Schema of a proposal: what intake reads, with the topics that read each member and their stage.

``x-topics`` are the rules that read a member, themselves or through a calculation; ``x-stage`` is ``intake`` where
leaving it out can hold the verdict, ``inspection`` where it only leaves something to be seen on site, and null where
no rule reads it.
"""

from __future__ import annotations

import copy
from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, Final

from changeout.domain.findings import Stage
from changeout.intake.json_schema import proposal_schema
from changeout.review.trial import reads
from changeout.rules import load_rules
from changeout.rules._registry import Rule

_Schema = dict[str, Any]

_STAGES: Final = (Stage.INTAKE.value, Stage.INSPECTION.value)

_RUN: Final = ("size", "material", "length", "sets", "raceway", "resistance", "reactance")
_CALCULATED_FROM: Final[Mapping[str, tuple[str, ...]]] = {
    "calculation:fault-current": (
        "/project/occupancy",
        "/supply/system",
        "/supply/source",
        *(f"/supply/runs/*/{name}" for name in _RUN),
        "/supply/motor_full_load_current",
        "/supply/motor_multiplier",
        "/supply/separately_derived/rating",
        "/supply/separately_derived/impedance_percent",
        "/supply/separately_derived/x_over_r",
        "/supply/separately_derived/primary_system",
        *(f"/supply/separately_derived/primary_runs/*/{name}" for name in _RUN),
        "/panelboard/busbar_rating",
    ),
    "calculation:load": ("/load", "/supply/system"),
}
"""The members that a calculation reads; the rating of the busbar bounds the motors that nobody stated."""


def published_schema() -> _Schema:
    """Return the schema, as a copy that may be changed."""
    return copy.deepcopy(_published())


@cache
def _published() -> _Schema:
    schema, rules = proposal_schema(), load_rules()
    reading: dict[tuple[str, str], list[str]] = defaultdict(list)
    for place, name in _objects(schema):
        for member in _object(schema, name)["properties"]:
            reading[name, member] += [rule.id for rule in rules.values() if _reads(rule, f"{place}/{member}")]
    for (name, member), topics in reading.items():
        _object(schema, name)["properties"][member] |= _annotations(rules, topics)
    return schema


def _reads(rule: Rule, pattern: str) -> bool:
    """Whether a rule reads the members of a pattern, itself or through a calculation."""
    needs = [member for need in rule.needs for member in _CALCULATED_FROM.get(need, (need,))]
    return reads(needs, pattern)


def _annotations(rules: Mapping[str, Rule], topics: list[str]) -> _Schema:
    """Return what is said of a member that these rules read."""
    found = sorted(set(topics))
    stages = {rules[name].stage.value for name in found}
    return {"x-topics": found, "x-stage": next((stage for stage in _STAGES if stage in stages), None)}


def _object(schema: _Schema, name: str) -> _Schema:
    found: _Schema = schema["$defs"][name] if name else schema
    return found


def _objects(schema: _Schema, place: str = "", name: str = "") -> Iterator[tuple[str, str]]:
    """Yield every object of a proposal: its pointer, ``*`` standing for any index, and its name under ``$defs``."""
    yield place, name
    for member, said in _object(schema, name)["properties"].items():
        inner = reference(said)
        if inner is not None:
            yield from _objects(schema, f"{place}/{member}{'/*' if 'items' in said else ''}", inner)


def reference(said: Mapping[str, Any]) -> str | None:
    """Return the name of the object that a member is, or is a list of; None where it is no object."""
    for place in (said, said.get("items", {}), *said.get("anyOf", ())):
        if "$ref" in place:
            return str(place["$ref"]).rpartition("/")[2]
    return None
