"""Read and check files of local rulesets."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from importlib import resources
from pathlib import Path
from typing import Any, Final

from changeout.domain import vocabulary
from changeout.domain.findings import Effect, Stage
from changeout.domain.member_values import MemberValues
from changeout.domain.vocabulary import DOCUMENT_KINDS
from changeout.editions.conditions import read_condition
from changeout.editions.jurisdictions import (
    ACTIONS,
    EVENTS,
    Adoption,
    Amendment,
    Ceiling,
    Condition,
    Jurisdiction,
    Requirement,
)
from changeout.editions.load import Place, parse_toml, read_parameter
from changeout.editions.rows import Edition, Parameter, RulesetError, Value

_KEYS: Final = {
    "jurisdiction": ({"id", "name", "note"}, {"id", "name"}),
    "adoption": (
        {"edition", "from", "event", "grace_days", "reference", "source"},
        {"edition", "from", "event", "reference", "source"},
    ),
    "amendment": (
        {
            "rule",
            "editions",
            "action",
            "from",
            "until",
            "effect",
            "section",
            "parameters",
            "stricter",
            "reference",
            "source",
        },
        {"rule", "editions", "action", "reference", "source"},
    ),
    "requirement": (
        {
            "id",
            "title",
            "editions",
            "stage",
            "effect",
            "when",
            "requires",
            "document",
            "reference",
            "source",
            "because",
            "remedy",
            "from",
            "until",
        },
        {"id", "title", "editions", "stage", "effect", "reference", "source", "because", "remedy"},
    ),
    "ceiling": (
        {"greatest_fault_current_a", "when", "reference", "source"},
        {"greatest_fault_current_a", "reference", "source"},
    ),
}
"""For each table the keys it may have, and those it must have."""


_CLOSED_LISTS: Final = tuple(words for words in vars(vocabulary).values() if isinstance(words, tuple))
"""Every closed list of words that a proposal can have."""


class _Reader:
    """Reads one file; every complaint names the file and, where it can, the line."""

    def __init__(
        self, file: str, text: str, editions: Mapping[str, Edition], members: Mapping[str, MemberValues]
    ) -> None:
        self.place = Place(file, text)
        self.tables = parse_toml(file, text)
        self.editions = editions
        self.members = members
        self.entry = 0
        """Which of several tables of one head is being read, from 1."""

    def fail(self, head: str, key: str, reason: str) -> RulesetError:
        return self.place.error(f"{head}: {reason}", head, key, self.entry)

    def table(self, head: str, value: object) -> dict[str, Any]:
        if not isinstance(value, dict):
            raise self.fail(head, "", "a table is expected")
        may, must = _KEYS[head]
        for key in value:
            if key not in may:
                raise self.fail(head, key, f"unknown key {key}; known are {', '.join(sorted(may))}")
        for key in sorted(must):
            if key not in value:
                raise self.fail(head, "", f"the key {key} is missing")
        for key in must & {"id", "name", "reference", "source", "title", "because", "remedy"}:
            if not isinstance(value[key], str) or not value[key].strip():
                raise self.fail(head, key, f"{key} must be a text that says something")
        return value

    def several(self, head: str) -> Iterator[dict[str, Any]]:
        entries = self.tables.get(head, [])
        if not isinstance(entries, list):
            raise self.fail(head, "", f"write [[{head}]], once for each")
        for number, entry in enumerate(entries, 1):
            self.entry = number
            yield self.table(head, entry)
        self.entry = 0

    def day(self, head: str, entry: Mapping[str, Any], key: str) -> dt.date | None:
        value = entry.get(key)
        if value is not None and (not isinstance(value, dt.date) or isinstance(value, dt.datetime)):
            raise self.fail(head, key, f"{key} must be a date, written 2026-01-31 without quotation marks")
        return value

    def among(self, head: str, entry: Mapping[str, Any], key: str, allowed: tuple[str, ...]) -> str:
        value = entry.get(key)
        if value not in allowed:
            raise self.fail(head, key, f"{key} must be one of {', '.join(allowed)}")
        return str(value)

    def edition_names(self, head: str, entry: Mapping[str, Any]) -> tuple[str, ...]:
        value = entry["editions"]
        if not isinstance(value, list) or not value or any(v not in self.editions for v in value):
            raise self.fail(head, "editions", f"editions must list some of {', '.join(self.editions)}")
        return tuple(value)

    def adoptions(self) -> tuple[Adoption, ...]:
        found: list[Adoption] = []
        for entry in self.several("adoption"):
            since = self.day("adoption", entry, "from")
            grace = entry.get("grace_days")
            if since is None or (grace is not None and (type(grace) is not int or grace < 0)):
                raise self.fail("adoption", "grace_days", "from must be a date and grace_days a count of days")
            if found and since <= found[-1].since:
                raise self.fail("adoption", "from", "adoptions must follow each other in time, one a day")
            found.append(
                Adoption(
                    edition=self.among("adoption", entry, "edition", tuple(self.editions)),
                    since=since,
                    event=self.among("adoption", entry, "event", EVENTS),
                    grace_days=grace,
                    reference=entry["reference"],
                    source=entry["source"],
                )
            )
        if not found:
            raise self.fail("adoption", "", "at least one [[adoption]] is needed")
        return tuple(found)

    def amendments(self) -> tuple[Amendment, ...]:
        found = []
        for entry in self.several("amendment"):
            editions, rule = self.edition_names("amendment", entry), entry["rule"]
            for name in editions:
                if rule not in self.editions[name].rows:
                    raise self.fail("amendment", "rule", f"no rule is called {rule}")
            action = self.among("amendment", entry, "action", ACTIONS)
            effect = entry.get("effect")
            if effect is not None or action in {"add", "effect"}:
                effect = self.among("amendment", entry, "effect", ("violation", "advisory"))
            parameters = entry.get("parameters", {})
            if not isinstance(parameters, dict):
                raise self.fail("amendment", "parameters", "parameters must be a table")
            if action in {"replace", "tighten", "extend"} and not parameters:
                raise self.fail("amendment", "action", f"the action {action} needs parameters")
            amendment = Amendment(
                rule=rule,
                editions=editions,
                action=action,
                reference=entry["reference"],
                source=entry["source"],
                since=self.day("amendment", entry, "from"),
                until=self.day("amendment", entry, "until"),
                effect=Effect(effect) if effect else None,
                section=entry.get("section"),
                parameters={n: self.parameter(rule, n, p) for n, p in parameters.items()},
                stricter=entry.get("stricter"),
            )
            self.check_against_rows(amendment)
            found.append(amendment)
        return tuple(found)

    def parameter(self, rule: str, name: str, entry: object) -> Parameter:
        try:
            return read_parameter(self.place, rule, name, entry)
        except RulesetError as broken:
            raise self.fail("amendment", name, broken.reason) from None

    def check_against_rows(self, amendment: Amendment) -> None:
        for name in amendment.editions:
            row = self.editions[name].rows[amendment.rule]
            for key, parameter in (amendment.parameters or {}).items():
                old = row.parameters.get(key)
                if old is None and amendment.action != "add":
                    raise self.fail("amendment", key, f"edition {name} has no parameter {key} of {amendment.rule}")
                if old is not None and type(old.value) is not type(parameter.value):
                    raise self.fail("amendment", key, f"{key} is of another kind in edition {name}")
                if old is not None:
                    self.check_words(key, old.value, parameter.value)
                if amendment.action == "tighten":
                    self.check_tighter(amendment, name, key)

    def check_words(self, key: str, old: Value, new: Value) -> None:
        """Refuse words that are none of the closed list from which the edition has its own."""
        if not isinstance(old, tuple) or not isinstance(new, tuple) or not old:
            return
        lists = [words for words in _CLOSED_LISTS if set(old) <= set(words)]
        if lists and not any(set(new) <= set(words) for words in lists):
            raise self.fail("amendment", key, f"{key} must list some of {', '.join(lists[0])}")

    def check_tighter(self, amendment: Amendment, edition: str, key: str) -> None:
        old = self.editions[edition].rows[amendment.rule].parameters[key].value
        new = (amendment.parameters or {})[key].value
        side = (amendment.stricter or {}).get(key)
        if side not in {"higher", "lower"}:
            raise self.fail("amendment", "stricter", f"stricter must say whether {key} is stricter 'higher' or 'lower'")
        if not isinstance(old, float) or not isinstance(new, float) or (new > old) != (side == "higher") or new == old:
            raise self.fail("amendment", key, f"{key} = {new} is not stricter than edition {edition}'s {old}")

    def conditions(self, head: str, value: object) -> tuple[Condition, ...]:
        if not isinstance(value, list):
            raise self.fail(head, "when", "when must be a list of conditions")
        return tuple(self.condition(head, "when", v) for v in value)

    def condition(self, head: str, key: str, value: object) -> Condition:
        return read_condition(value, self.members, lambda reason: self.fail(head, key, reason))

    def requirements(self) -> tuple[Requirement, ...]:
        found = []
        for entry in self.several("requirement"):
            document, requires = entry.get("document"), entry.get("requires")
            if (document is None) == (requires is None):
                raise self.fail("requirement", "requires", "give either requires or document")
            if document is not None and document not in DOCUMENT_KINDS:
                raise self.fail("requirement", "document", f"document must be one of {', '.join(DOCUMENT_KINDS)}")
            found.append(
                Requirement(
                    id=entry["id"],
                    title=entry["title"],
                    editions=self.edition_names("requirement", entry),
                    stage=Stage(self.among("requirement", entry, "stage", ("intake", "inspection"))),
                    effect=Effect(self.among("requirement", entry, "effect", ("violation", "advisory"))),
                    when=self.conditions("requirement", entry.get("when", [])),
                    requires=self.condition("requirement", "requires", requires) if requires is not None else None,
                    document=document,
                    reference=entry["reference"],
                    source=entry["source"],
                    because=entry["because"],
                    remedy=entry["remedy"],
                    since=self.day("requirement", entry, "from"),
                    until=self.day("requirement", entry, "until"),
                )
            )
        return tuple(found)

    def ceilings(self) -> tuple[Ceiling, ...]:
        found = []
        for entry in self.several("ceiling"):
            value = entry["greatest_fault_current_a"]
            if isinstance(value, bool) or not isinstance(value, int | float) or value <= 0:
                raise self.fail("ceiling", "greatest_fault_current_a", "a number of amperes above zero is expected")
            found.append(
                Ceiling(
                    greatest_fault_current_a=float(value),
                    when=self.conditions("ceiling", entry.get("when", [])),
                    reference=entry["reference"],
                    source=entry["source"],
                )
            )
        return tuple(found)


def read_jurisdiction(
    file: str, text: str, editions: Mapping[str, Edition], members: Mapping[str, MemberValues]
) -> Jurisdiction:
    """Return the local ruleset of a TOML text; *members* are those that a condition may name, and what they may be.

    Raises:
        RulesetError: naming file and line of the first thing that is not in order.
    """
    reader = _Reader(file, text, editions, members)
    unknown = sorted(set(reader.tables) - set(_KEYS))
    if unknown:
        raise reader.fail(unknown[0], "", f"unknown table; known are {', '.join(_KEYS)}")
    if "jurisdiction" not in reader.tables:
        raise reader.fail("jurisdiction", "", "the table [jurisdiction] is missing")
    head = reader.table("jurisdiction", reader.tables["jurisdiction"])
    return Jurisdiction(
        id=head["id"],
        name=head["name"],
        note=str(head.get("note", "")),
        adoptions=reader.adoptions(),
        amendments=reader.amendments(),
        requirements=reader.requirements(),
        ceilings=reader.ceilings(),
        raw=reader.tables,
    )


def load_jurisdictions(
    editions: Mapping[str, Edition], members: Mapping[str, MemberValues], folder: Path | None = None
) -> dict[str, Jurisdiction]:
    """Return the shipped local rulesets and those of *folder*, by id.

    Raises:
        RulesetError: if a file is not in order, or two have the same id.
    """
    shipped = resources.files("changeout.editions").joinpath("local")
    texts = [(f.name, f.read_text(encoding="utf-8")) for f in shipped.iterdir() if f.name.endswith(".toml")]
    if folder is not None:
        if not folder.is_dir():
            raise RulesetError(str(folder), None, "no such folder")
        texts += [(f.name, f.read_text(encoding="utf-8")) for f in folder.glob("*.toml")]
    found: dict[str, Jurisdiction] = {}
    for file, text in sorted(texts):
        jurisdiction = read_jurisdiction(file, text, editions, members)
        if jurisdiction.id in found:
            raise RulesetError(file, None, f"two local rulesets are called {jurisdiction.id}")
        found[jurisdiction.id] = jurisdiction
    return found
