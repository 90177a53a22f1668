"""Rulesets made readable: an edition, a rule, and what changed between two editions."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any, Final

from changeout.review.row_changes import change_in_words, kinds_of_change
from changeout.review.ruleset import Ruleset, parameter_object, row_object

_SHOWN_KINDS: Final = ("passes", "fails", "cannot-tell", "limit")


def edition_page(ruleset: Ruleset) -> dict[str, Any]:
    """Return an edition with a short entry for each rule, JSON-ready."""
    edition, summary = ruleset.edition, ruleset.summary
    return {
        "edition": edition.name,
        "code": edition.code,
        "preview": edition.preview,
        "note": edition.note,
        "digest": ruleset.digest,
        "rules": summary.rules,
        "reviewed": dict(summary.reviewed),
        "entries": [
            {
                "rule": name,
                "group": ruleset.rules[name].group,
                "title": ruleset.rules[name].title,
                "in_force": row.in_force,
                "effect": row.effect.value,
                "section": row.section,
                "also": list(row.also),
                "reviewed": row.reviewed.value,
            }
            for name, row in edition.rows.items()
        ],
    }


def rule_page(ruleset: Ruleset, name: str) -> dict[str, Any]:
    """Return one rule under an edition, JSON-ready: its words, its row, and a case of each kind.

    Raises:
        KeyError: if the edition has no such rule.
    """
    row, rule = ruleset.edition.rows[name], ruleset.rules[name]
    sections = rule.sections
    return {
        "rule": name,
        "edition": ruleset.edition.name,
        "group": rule.group,
        "title": rule.title,
        "because": sections["Because"],
        "applies_to": rule.applies_to,
        "passes": sections["Passes"],
        "fails": sections["Fails"],
        "cannot_tell": sections["Cannot tell"],
        "not_covered": sections.get("Not covered"),
        "needs": list(rule.needs),
        "about": rule.about,
        "stage": rule.stage.value,
        "in_force": row.in_force,
        "first_in_force": ruleset.first_asked.get(name),
        "effect": row.effect.value,
        "section": row.section,
        "also": list(row.also),
        "parameters": {key: parameter_object(p) for key, p in row.parameters.items()},
        "source": row.source,
        "reviewed": row.reviewed.value,
        "note": row.note,
        "local": row.local,
        "local_note": row.local_note,
        "examples": _examples(name, ruleset.edition.name),
    }


@cache
def rule_cases(name: str) -> Mapping[str, Any]:
    """Return the cases that a rule is tested with, as their file has them; empty where there is no file."""
    file = resources.files("changeout.rules").joinpath("cases", f"{name}.toml")
    return tomllib.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}


def _examples(name: str, edition: str) -> list[dict[str, Any]]:
    table = rule_cases(name)
    shown: dict[str, dict[str, Any]] = {}
    for case in table.get("case", []):
        if case["kind"] in _SHOWN_KINDS and edition in case["editions"]:
            shown.setdefault(
                case["kind"],
                {
                    "kind": case["kind"],
                    "case": case["name"],
                    "start": case.get("start", table["start"]),
                    "set": case.get("set", {}),
                    "remove": case.get("remove", []),
                    "outcome": case["outcome"],
                    "source": case["source"],
                },
            )
    return [shown[kind] for kind in _SHOWN_KINDS if kind in shown]


def changes_page(since: Ruleset, now: Ruleset) -> dict[str, Any]:
    """Return what changed from one edition to another, rule by rule, JSON-ready."""
    entries = []
    for name, row in now.edition.rows.items():
        before = since.edition.rows.get(name)
        kinds = kinds_of_change(before, row)
        if kinds:
            entries.append(
                {
                    "rule": name,
                    "title": now.rules[name].title,
                    "changes": kinds,
                    "text": change_in_words(before, row, kinds),
                    "from": row_object(before) if before else None,
                    "to": row_object(row),
                    "source": row.source,
                    "reviewed": row.reviewed.value,
                }
            )
    return {"since": since.edition.name, "edition": now.edition.name, "count": len(entries), "entries": entries}
