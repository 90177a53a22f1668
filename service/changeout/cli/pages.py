"""A rule as text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from typing import Any, Final

from changeout.render.text import plain

_WIDTH: Final = 100


def rule_text(page: Mapping[str, Any]) -> str:
    """Return a rule's page as text."""
    return "\n".join(_rule_lines(page))


def _rule_lines(page: Mapping[str, Any]) -> Iterator[str]:
    yield f"{page['rule']} (edition {page['edition']})"
    yield from _paragraph("", page["title"])
    yield ""
    sections = ", ".join([page["section"] or "no section", *page["also"]])
    force = "in force" if page["in_force"] else "not in force"
    yield from _paragraph("Section", sections)
    yield from _paragraph("Effect", f"{page['effect']}; {force}; first in force: {page['first_in_force'] or 'never'}")
    for name in ("because", "applies_to", "passes", "fails", "cannot_tell", "not_covered"):
        yield from _paragraph(name.replace("_", " ").capitalize(), page[name])
    yield from _paragraph("Needs", ", ".join(page["needs"]))
    for name, parameter in page["parameters"].items():
        value = parameter["value"]
        written = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
        unit = f" {parameter['unit']}" if parameter["unit"] else ""
        yield from _paragraph("Limit", f"{name} = {written}{unit}")
    yield from _paragraph("Known from", f"{page['source']} ({page['reviewed']})")
    yield from _paragraph("Note", page["note"])


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
