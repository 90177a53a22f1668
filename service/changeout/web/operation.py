"""What an operation is: enough to route it, check its request, answer it and describe it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from changeout.application.service import Service
from changeout.web.call import JSON, Answer, Call


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """A parameter in the path or the query.

    ``values`` lists what it may be under a service; without it, the handler looks the name up.
    """

    name: str
    place: Literal["path", "query"]
    description: str
    values: Callable[[Service], tuple[str, ...]] | None = None
    required: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """What an operation takes: the name of its schema where it is one JSON document, what it is, and examples.

    ``examples`` gives OpenAPI's Example Objects by name.
    """

    schema: str | None
    description: str
    examples: Callable[[Service], Mapping[str, Any]]
    media_type: str = JSON


@dataclass(frozen=True, slots=True, kw_only=True)
class Produces:
    """One representation of an operation's answer; ``schema`` names a component where it is JSON."""

    media_type: str
    schema: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One method of one resource.

    ``problems`` are the codes it can answer with beyond those that any operation can. ``negotiated`` is false
    where the answer has one form whatever Accept says.
    """

    id: str
    method: Literal["GET", "POST"]
    path: str
    tag: str
    summary: str
    handler: Callable[[Call], Answer]
    answer: str
    produces: tuple[Produces, ...]
    description: str = ""
    parameters: tuple[Parameter, ...] = ()
    body: Body | None = None
    problems: tuple[str, ...] = ()
    negotiated: bool = True


def json_form(schema: str) -> tuple[Produces, ...]:
    """Return the one representation of an answer that is JSON of this schema."""
    return (Produces(media_type=JSON, schema=schema),)


def editions_of(service: Service) -> tuple[str, ...]:
    """Return the names that an edition parameter can be."""
    return service.editions()


EDITION_IN_PATH: Final = Parameter(
    name="edition", place="path", description="An edition of the code.", values=editions_of
)
