"""The page on every member of a proposal: what it is, unit and range, where it is found, which rules read it."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any, Final

from changeout.application.published_schema import reference

_MOST_WORDS: Final = 16
"""How many words are listed in full."""

_Schema = Mapping[str, Any]


def members_page(schema: _Schema) -> str:
    """Return the page, written from the published *schema*."""
    return "\n".join(_lines(schema)) + "\n"


def _lines(schema: _Schema) -> Iterator[str]:
    yield "# Members of a proposal"
    yield ""
    yield "Written by `changeout schema proposal --format markdown`; a test compares it with the schema. Everything but"
    yield "what is marked *required* may be left out or null: it is then unknown, which is neither a yes nor a no. A"
    yield "quantity is a text with its unit; a value outside its range is refused as a slip of the pen."
    yield ""
    yield "*Asked at* says when a missing member matters: at *intake* it can hold the decision, at *inspection* it is"
    yield "only left to be seen on site. *Read by* names the [rules](rules.md) that read it, themselves or through a"
    yield "[calculation](calculations.md)."
    for place, object_schema in _objects(schema):
        yield ""
        yield f"## {place or 'The document'}"
        yield ""
        yield str(object_schema["description"])
        yield ""
        yield "| member | what it is | written as | where it is found | asked at | read by |"
        yield "|---|---|---|---|---|---|"
        required = object_schema.get("required", ())
        for name, member in object_schema["properties"].items():
            yield _row(name, member, required=name in required)


def _objects(schema: _Schema) -> Iterator[tuple[str, _Schema]]:
    """Yield every object of the document with its place, ``*`` standing for any index."""
    waiting: list[tuple[str, _Schema]] = [("", schema)]
    while waiting:
        place, found = waiting.pop(0)
        yield place, found
        inner = []
        for name, member in found["properties"].items():
            if (inside := reference(member)) is not None:
                entry = "/*" if "items" in member else ""
                inner.append((f"{place}/{name}{entry}", schema["$defs"][inside]))
        waiting = inner + waiting


def _row(name: str, member: _Schema, *, required: bool) -> str:
    what = f"{member['title']}. {member['description']}" + (" *Required.*" if required else "")
    if "x-shown-when" in member:
        what += f" Asked {member['x-shown-when']['words']}."
    if reference(member) is not None:
        linked = "see its members" if member["x-topics"] else "-"
    else:
        linked = ", ".join(f"[{rule}](rules.md#{rule})" for rule in member["x-topics"]) or "-"
    cells = (f"`{name}`", what, _written_as(member), member["x-found-at"], member["x-stage"] or "-", linked)
    return f"| {' | '.join(' '.join(cell.split()).replace('|', chr(92) + '|') for cell in cells)} |"


def _written_as(member: _Schema) -> str:
    if reference(member) is not None:
        return "a list of objects" if "items" in member else "an object"
    if "items" in member:
        return f"a list of {_words(member['items']['enum'])}"
    if "enum" in member:
        taken = f"; `{member['default']}` unless said" if "default" in member else ""
        return _words(member["enum"]) + taken
    kinds = member["type"] if isinstance(member["type"], list) else [member["type"]]
    if "const" in member:
        return f"`{json.dumps(member['const'])}`"
    if "boolean" in kinds:
        return "`true` or `false`"
    if "object" in kinds:
        return f"an object of at most {member['maxProperties']} texts"
    if "number" in kinds or "integer" in kinds:
        return f"a number {_range(member)}".rstrip()
    examples = " or ".join(f"`{json.dumps(example)}`" for example in member.get("examples", ())[:3])
    return f"a text, such as {examples}" if examples else "a text"


def _words(words: list[str | None]) -> str:
    named = [f"`{word}`" for word in words if word is not None]
    if len(named) > _MOST_WORDS:
        return f"{named[0]}, {named[1]} … {named[-1]} ({len(named)} in all)"
    return " | ".join(named)


def _range(member: _Schema) -> str:
    if "exclusiveMinimum" in member:
        low = f"above {member['exclusiveMinimum']:g}"
    else:
        low = f"from {member['minimum']:g}" if "minimum" in member else ""
    high = f"below {member['exclusiveMaximum']:g}" if "exclusiveMaximum" in member else ""
    if "maximum" in member:
        high = f"to {member['maximum']:g}"
    return f"{low} {high}".strip()
