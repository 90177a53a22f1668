"""The page on every operation of the HTTP interface, made from the OpenAPI document (Markdown).

``python -m changeout.web.api_page`` writes it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from typing import Any

from changeout.application.service import Service
from changeout.domain.problems import ERRORS, PROBLEMS
from changeout.web.openapi import openapi_document

_Object = Mapping[str, Any]


def api_page(document: _Object) -> str:
    """Return the page on the interface that an OpenAPI *document* describes."""
    return "\n".join(_lines(document)) + "\n"


def _lines(document: _Object) -> Iterator[str]:
    yield "# The API"
    yield ""
    yield "Written by `python -m changeout.web.api_page` from the OpenAPI document; a test compares them. What holds"
    yield "for every request stands in [the HTTP interface](http.md). A running service has the document itself, with"
    yield "the schemas, under `/openapi.json`, and a page to try it under `/docs`."
    for tag in document["tags"]:
        yield ""
        yield f"## {tag['name'].capitalize()}"
        yield ""
        yield str(tag["description"])
        for path, methods in document["paths"].items():
            for method, operation in methods.items():
                if tag["name"] in operation["tags"]:
                    yield from _operation_lines(f"{method.upper()} {path}", operation)
    yield from _problem_lines()


def _operation_lines(address: str, operation: _Object) -> Iterator[str]:
    yield ""
    yield f"### {address}"
    yield ""
    yield f"{operation['summary']}. {operation.get('description', '')}".strip()
    yield ""
    for parameter in operation.get("parameters", ()):
        yield f"- {_parameter(parameter)}"
    if "requestBody" in operation:
        body = operation["requestBody"]
        yield f"- Takes {_media(body['content'])}: {body['description']}"
    answer = operation["responses"]["200"]
    yield f"- Answers {_media(answer['content'])}: {answer['description']}"
    others = [status for status in operation["responses"] if status not in {"200", "default"}]
    yield f"- Other answers: {', '.join(others)}"


def _problem_lines() -> Iterator[str]:
    yield ""
    yield "## Problems"
    yield ""
    yield "Whatever is refused is answered with a problem document (RFC 9457). Its `code` is one of these."
    yield ""
    yield "| status | code | meaning |"
    yield "|---|---|---|"
    for problem in sorted(PROBLEMS.values(), key=lambda problem: problem.status):
        yield f"| {problem.status} | `{problem.code}` | {problem.title}. {problem.meaning} |"
    yield ""
    yield "What is wrong with a document stands in `errors`, all at once, each with one of these codes."
    yield ""
    yield "| code | meaning |"
    yield "|---|---|"
    for code, meaning in ERRORS.items():
        yield f"| `{code}` | {meaning} |"


def _parameter(parameter: _Object) -> str:
    needed = "" if parameter["required"] else ", optional"
    words = parameter["schema"].get("enum", ())
    among = f" One of {', '.join(f'`{word}`' for word in words)}." if words else ""
    return f"`{parameter['name']}` in the {parameter['in']}{needed}: {parameter['description']}{among}"


def _media(content: _Object) -> str:
    return ", ".join(f"`{media_type}`" for media_type in content)


if __name__ == "__main__":
    sys.stdout.write(api_page(openapi_document(Service.load())))
