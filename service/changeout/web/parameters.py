"""Parameters of the path and the query: only those that an operation names, each with a value of its list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from werkzeug.datastructures import MultiDict

from changeout.application.service import Service
from changeout.domain.problems import Refusal
from changeout.web.operation import Parameter


def check_path(given: Mapping[str, str], parameters: Sequence[Parameter], service: Service) -> None:
    """Refuse a path that names what the service does not have.

    Raises:
        Refusal: ``not-found``, naming what there is.
    """
    for parameter in parameters:
        if parameter.place == "path" and parameter.values is not None:
            known = parameter.values(service)
            if given[parameter.name] not in known:
                raise Refusal("not-found", f"{given[parameter.name]!r} is none of {', '.join(known)}.")


def read_query(given: MultiDict[str, str], parameters: Sequence[Parameter], service: Service) -> dict[str, str]:
    """Return the value of each query parameter that was given.

    Raises:
        Refusal: ``bad-query`` if one is unknown, repeated, missing though required, or not in its list.
    """
    allowed = {
        parameter.name: parameter.values(service)
        for parameter in parameters
        if parameter.place == "query" and parameter.values is not None
    }
    for name, values in given.lists():
        if name not in allowed:
            raise Refusal("bad-query", f"There is no parameter {name!r} here; known: {', '.join(allowed) or 'none'}.")
        if len(values) > 1:
            raise Refusal("bad-query", f"{name} is given {len(values)} times; give it once.")
        if values[0] not in allowed[name]:
            raise Refusal("bad-query", f"{name} is one of {', '.join(allowed[name])}, not {values[0]!r}.")
    for parameter in parameters:
        if parameter.name in allowed and parameter.required and parameter.name not in given:
            raise Refusal("bad-query", f"{parameter.name} is required: one of {', '.join(allowed[parameter.name])}.")
    return {name: values[0] for name, values in given.lists()}
