"""When a member is worth asking for: conditions on other members, as JSON Schema and in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from changeout.intake.pointers import split

_Schema = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Condition:
    """What one member must be or not be. A path that begins with ``/`` leads through the proposal.

    Any other path leads through the object that holds the member asked for.
    """

    path: str
    schema: _Schema
    words: str
    unless: bool

    @property
    def where(self) -> str:
        """What it is said of: ``proposal`` or ``here``."""
        return "proposal" if self.path.startswith("/") else "here"

    def as_schema(self) -> _Schema:
        """Return a schema that is valid where the member is worth asking for."""
        found = self.schema
        for name in reversed(split(self.path) if self.path.startswith("/") else self.path.split("/")):
            found = {"type": "object", "required": [name], "properties": {name: found}}
        return {"not": found} if self.unless else found


def unless(path: str, *values: object) -> Condition:
    """Return the condition that a member is not stated to be one of *values*; unknown is not false."""
    return Condition(path, {"enum": list(values)}, f"unless {path} is {_named(values)}", unless=True)


def unless_yes(path: str) -> Condition:
    """Return the condition that a flag is not stated to hold."""
    return Condition(path, {"const": True}, f"unless {path} is true", unless=True)


def unless_no(path: str) -> Condition:
    """Return the condition that a flag is not stated not to hold."""
    return Condition(path, {"const": False}, f"unless {path} is false", unless=True)


def when_said(path: str) -> Condition:
    """Return the condition that a member is stated at all."""
    return Condition(path, {"not": {"type": "null"}}, f"where {path} is stated", unless=False)


def unless_without(path: str, *values: object) -> Condition:
    """Return the condition that a list is not stated without any of *values*."""
    lacking: _Schema = {"type": "array", "not": {"contains": {"enum": list(values)}}}
    return Condition(path, lacking, f"unless {path} is stated without {_named(values)}", unless=True)


def _named(values: Sequence[object]) -> str:
    return " or ".join("an empty list" if value == [] else str(value) for value in values)


def shown_when(conditions: Sequence[Condition]) -> dict[str, Any]:
    """Return the annotation that says all *conditions*: in words, and a schema for each thing that they are said of."""
    said: dict[str, Any] = {"words": " and ".join(one.words for one in conditions)}
    for where in ("here", "proposal"):
        schemas = [one.as_schema() for one in conditions if one.where == where]
        if schemas:
            said[where] = schemas[0] if len(schemas) == 1 else {"allOf": schemas}
    return said
