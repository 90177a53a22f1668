"""Rules as text: one, or a list of them."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from changeout.application.rules_page import known_from, limit_text
from changeout.render.text import plain

_WIDTH: Final = 100
_UNDER: Final = " " * 13
"""What stands under a label."""


def rule_text(page: Mapping[str, Any]) -> str:
    """Return a rule's page as text."""
    return "\n".join(_rule_lines(page))


def rules_text(page: Mapping[str, Any], entries: Sequence[Mapping[str, Any]]) -> str:
    """Return *entries* of an edition's page as a list, by group, with section and title."""
    return "\n".join(_list_lines(page, entries))


def _list_lines(page: Mapping[str, Any], entries: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    preview = ", a preview" if page["preview"] else ""
    yield f"Edition {page['edition']}{preview}: {len(entries)} of {len(page['entries'])} rules"
    group = None
    for entry in entries:
        if entry["group"] != group:
            group = entry["group"]
            yield ""
            yield group.replace("-", " ").capitalize()
        force = "" if entry["in_force"] else ", not in force"
        yield f"  {entry['rule']}  [{entry['section'] or 'no section'}{force}]"
        yield from textwrap.wrap(entry["title"], width=_WIDTH, initial_indent="    ", subsequent_indent="    ")


def _rule_lines(page: Mapping[str, Any]) -> Iterator[str]:
    yield f"{page['rule']} (edition {page['edition']})"
    yield from _paragraph("", page["title"])
    yield ""
    sections = ", ".join([page["section"] or "no section", *page["also"]])
    yield from _paragraph("Section", sections)
    yield from _paragraph("Asked", _asked(page))
    for name in ("because", "applies_to", "passes", "fails", "cannot_tell", "not_covered"):
        yield from _paragraph(name.replace("_", " ").capitalize(), page[name])
    yield from _paragraph("Reads", ", ".join(page["needs"]))
    for name, parameter in page["parameters"].items():
        yield from _paragraph("Limit", limit_text(name, parameter))
    yield from _paragraph("Known from", known_from(page))
    yield from _paragraph("Note", page["note"])
    for example in page["examples"]:
        yield ""
        yield from _paragraph("Example", f"{example['case']}: {example['outcome']}")
        changes = [f"{pointer} = {_json(value)}" for pointer, value in example["set"].items()]
        changes += [f"{pointer} not stated" for pointer in example["remove"]]
        with_changes = f" with {', '.join(changes)}" if changes else " as it is"
        yield from _paragraph("", f"{_UNDER}The example {example['start']}{with_changes}")
        yield from _paragraph("", f"{_UNDER}Source: {example['source']}")


def _asked(page: Mapping[str, Any]) -> str:
    advises = page["effect"] == "advisory"
    since = f"since {page['first_in_force']}" if page["first_in_force"] else "in no edition"
    if page["in_force"]:
        return f"{since}; not meeting it " + ("gets advice" if advises else "is a violation")
    return f"not in this edition{', which only advises' if advises else ''}; asked {since}"


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def _paragraph(name: str, text: str | None) -> Iterator[str]:
    if not text:
        return
    label = f"{name + ':':<13}" if name else ""
    leading = text[: len(text) - len(text.lstrip())]
    yield from textwrap.wrap(
        plain(text.strip()),
        width=_WIDTH,
        initial_indent=leading + label,
        subsequent_indent=leading + " " * (len(label) or 2),
        break_long_words=False,
        break_on_hyphens=False,
    )
