"""Comparisons, differences and trials as text of at most 100 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from changeout.render.text import plain

_WIDTH: Final = 100
_COLUMN: Final = 11
_SHORT: Final = {
    "violation": "VIOLATION",
    "undetermined": "undeterm.",
    "conditional": "condition.",
    "advisory": "advisory",
    "satisfied": "satisfied",
    "not-applicable": "n/a",
    None: "-",
}
"""Outcomes as a column of a table has room for them."""


def comparison_text(page: Mapping[str, Any]) -> str:
    """Return a comparison: dates and verdicts, then a table of rules and outcomes, then what changed in each rule."""
    return "\n".join(_comparison_lines(page)) + "\n"


def _comparison_lines(page: Mapping[str, Any]) -> Iterator[str]:
    sides = [side["label"] for side in page["sides"]]
    heads = sides if all(len(label) < _COLUMN for label in sides) else [chr(ord("A") + i) for i in range(len(sides))]
    if page["reference"] is not None:
        yield from _wrapped(f"Reference: {page['reference']}")
    yield f"Applied on: {page['applied_on'] or 'not stated'}"
    yield ""
    for head, side in zip(heads, page["sides"], strict=True):
        name = f"{head}  " if head == side["label"] else f"{head}  {side['label']}  "
        preview = " (a preview: not all of its rows are known)" if side["preview"] else ""
        yield from _wrapped(f"{name}{side['verdict'].upper()}{preview}  {side['headline']}", hanging="    ")
    yield ""
    differences = page["differences"]
    if not differences:
        yield from ("No rule answers differently.", "")
    else:
        yield from _tables(differences, sides, heads)
        shown = dict(zip(sides, heads, strict=True))
        for difference in differences:
            yield from _changes(difference, shown)
    yield from _wrapped(page["defers_to"])


def _tables(differences: Sequence[Mapping[str, Any]], sides: Sequence[str], heads: Sequence[str]) -> Iterator[str]:
    """Yield what has other outcomes, then what has only another section or required value."""
    for differs, title in ((True, "Other outcomes"), (False, "The same outcome, another section or required value")):
        chosen = [difference for difference in differences if difference["outcome_differs"] is differs]
        if chosen:
            yield title
            yield from _table(chosen, sides, heads)
            yield ""


def _table(differences: Sequence[Mapping[str, Any]], sides: Sequence[str], heads: Sequence[str]) -> Iterator[str]:
    """Yield the table; a rule whose name leaves no room for its outcomes has them on the next line."""
    room = _WIDTH - _COLUMN * len(sides)
    yield " " * room + _row(heads)
    for difference in differences:
        answers = [difference["answers"][side] for side in sides]
        row = _row([_SHORT[answer["outcome"] if answer else None] for answer in answers])
        name = str(difference["rule"])
        if len(name) >= room:
            yield name
            yield " " * room + row
        else:
            yield f"{name:<{room}}{row}"


def _row(cells: Sequence[str]) -> str:
    return "".join(f"{cell:<{_COLUMN}}" for cell in cells).rstrip()


def _changes(difference: Mapping[str, Any], shown: Mapping[str, str]) -> Iterator[str]:
    yield str(difference["rule"])
    yield from _wrapped(difference["title"], indent="  ")
    for change in difference["changes"]:
        sides = f"{shown[change['from']]} to {shown[change['to']]}"
        yield from _wrapped(f"{sides}: {change['text']}", indent="  ", hanging="    ")
        yield from _wrapped(f"Source: {change['source']} ({change['reviewed']})", indent="    ", hanging="      ")
    if not difference["changes"]:
        yield "  The rule's own row did not change; what it is compared with did."
    yield ""


def diff_text(page: Mapping[str, Any]) -> str:
    """Return what became of a project between two submissions."""
    return "\n".join(_diff_lines(page)) + "\n"


def _diff_lines(page: Mapping[str, Any]) -> Iterator[str]:
    for name in ("old", "new"):
        side = page[name]
        head = f"{name}: {side['verdict'].upper()} under edition {side['edition']}  {side['headline']}"
        yield from _wrapped(head, hanging="     ")
    if not page["same_ruleset"]:
        yield "The two were judged by different rulesets."
    yield from _moves("Fixed", page["fixed"])
    yield from _moves("New", page["new_findings"])
    yield from _moves("Moved otherwise", page["other_moves"])
    if page["still_open"]:
        yield from ("", "Still open")
        for finding in page["still_open"]:
            head = f"{finding['rule']} [{finding['subject'] or '/'}]: {finding['outcome']}"
            yield from _told(head, finding["message"])
    if page["changed_members"]:
        yield from ("", "Members that changed")
        for member in page["changed_members"]:
            silent = "  (nobody asked for it)" if member["silent"] else ""
            text = f"{member['pointer'] or '/'}: {member['old']!r} before, {member['new']!r} now{silent}"
            yield from _wrapped(text, indent="  - ", hanging="    ")


def what_if_text(page: Mapping[str, Any]) -> str:
    """Return the verdict as it is and what each variant would change."""
    return "\n".join(_what_if_lines(page)) + "\n"


def _what_if_lines(page: Mapping[str, Any]) -> Iterator[str]:
    base = page["base"]
    yield from _wrapped(f"As it is: {base['verdict'].upper()} under edition {page['edition']}  {base['headline']}")
    for variant in page["variants"]:
        name = "With the change" if "patch" in variant else f"With {variant['value']!r}"
        yield ""
        if "unreadable" in variant:
            yield f"{plain(name)}: no proposal any more"
            for error in variant["unreadable"]:
                text = f"{error['pointer'] or '/'}: {error['code']}: {error['detail']}"
                yield from _wrapped(text, indent="  - ", hanging="    ")
        else:
            yield from _wrapped(f"{name}: {variant['verdict'].upper()}  {variant['headline']}")
            yield from _moved(variant["moved"])


def _moves(title: str, moves: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    if moves:
        yield from ("", title)
        yield from _moved(moves)


def _moved(moves: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    for move in moves:
        was, now = move["before"] or "not judged", move["after"] or "not judged"
        yield from _told(f"{move['rule']} [{move['subject'] or '/'}]: {was} before, {now} now", move["message"])


def _told(head: str, message: str) -> Iterator[str]:
    yield from _wrapped(head, indent="  - ", hanging="    ")
    yield from _wrapped(message, indent="    ", hanging="    ")


def _wrapped(text: str, indent: str = "", hanging: str = "  ") -> list[str]:
    # A pointer or a source may be longer than a line, and is then broken.
    return textwrap.wrap(
        plain(text), width=_WIDTH, initial_indent=indent, subsequent_indent=hanging, break_on_hyphens=False
    )
