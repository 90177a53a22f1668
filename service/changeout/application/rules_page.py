"""The page on every rule: its words, and what each edition makes of it (Markdown)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from changeout.application.service import Service

_WORDS: Final = {
    "because": "Because",
    "applies_to": "Applies to",
    "passes": "Passes",
    "fails": "Fails",
    "cannot_tell": "Cannot tell",
    "not_covered": "Not covered",
}
_STAGES: Final = {
    "intake": "Missing facts hold the decision.",
    "inspection": "Missing facts are left to the inspection.",
}


def rules_page(service: Service) -> str:
    """Return the page, written from the rules' own words and the rows of every edition."""
    return "\n".join(_lines(service)) + "\n"


def _lines(service: Service) -> Iterator[str]:
    editions = service.editions()
    entries = service.edition(editions[0])["entries"]
    yield "# Rules"
    yield ""
    yield "Written by `changeout ruleset rules`; a test compares it with the rules and the rows. The words are our own:"
    yield "look sections up in the adopted code. *Asked* says whether the edition has the rule in force and what comes"
    yield "of not meeting it. *Known from* says how the row is known; [what is not known](doubts.md) lists the rows"
    yield "in doubt. The same page of one rule, with examples: `changeout explain RULE --edition EDITION`."
    group = ""
    for entry in entries:
        if entry["group"] != group:
            group = entry["group"]
            yield ""
            yield f"## {group.replace('-', ' ').capitalize()}"
        yield from _rule_lines([service.rule(edition, entry["rule"]) for edition in editions])


def _rule_lines(pages: list[Mapping[str, Any]]) -> Iterator[str]:
    rule = pages[-1]
    yield ""
    yield f"### {rule['rule']}"
    yield ""
    yield f"{rule['title']}."
    yield ""
    for name, label in _WORDS.items():
        if rule[name]:
            yield f"- *{label}*: {' '.join(str(rule[name]).split())}"
    yield f"- *Reads*: {', '.join(f'`{pointer}`' for pointer in rule['needs'])}. {_STAGES[rule['stage']]}"
    yield ""
    yield "| edition | section | asked | limits | known from |"
    yield "|---|---|---|---|---|"
    for page in pages:
        sections = ", ".join([page["section"] or "none", *page["also"]])
        cells = (page["edition"], sections, _asked(page), _limits(page["parameters"]), known_from(page))
        yield f"| {' | '.join(map(_cell, cells))} |"


def _asked(page: Mapping[str, Any]) -> str:
    if not page["in_force"]:
        return "advice only" if page["effect"] == "advisory" else "no"
    return "advice" if page["effect"] == "advisory" else "yes"


def known_from(page: Mapping[str, Any]) -> str:
    """Return how a rule's row is known, and its source."""
    reviewed, source = page["reviewed"].replace("-", " "), str(page["source"])
    return source if source.startswith(reviewed) else f"{reviewed}: {source}"


def _limits(parameters: Mapping[str, Mapping[str, Any]]) -> str:
    return "; ".join(limit_text(name, parameter) for name, parameter in parameters.items()) or "-"


def limit_text(name: str, parameter: Mapping[str, Any]) -> str:
    """Return one limit of a row, with its unit."""
    value = parameter["value"]
    values = [_written(one) for one in value] if isinstance(value, list | tuple) else [_written(value)]
    written = ("; " if any("," in one for one in values) else ", ").join(values)
    return f"{name} = {written} {parameter['unit'] or ''}".rstrip()


def _written(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:,.10g}" if isinstance(value, int | float) else str(value)


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")
