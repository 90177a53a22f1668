"""Questions about the rulesets themselves: what there is, is a file in order, what is tested, what is not known."""

from __future__ import annotations

import re
from collections.abc import Iterator

from changeout.application.members_page import members_page
from changeout.application.published_schema import published_schema
from changeout.application.rules_page import rules_page
from changeout.application.service import Service
from changeout.domain.findings import Reviewed
from changeout.editions.jurisdiction_files import read_jurisdiction
from changeout.editions.load import load_editions, parse_toml, read_edition
from changeout.editions.rows import RulesetError
from changeout.intake.members import member_values
from changeout.review.catalogue import rule_cases
from changeout.review.coverage import coverage, coverage_page
from changeout.review.doubts import doubts_page
from changeout.review.local import local_rulesets
from changeout.review.ruleset import first_asked, join
from changeout.rules import load_rules
from changeout.tables.load import tables


def rulesets_text(service: Service) -> str:
    """Return the editions and local rulesets of a service, a line or two each."""
    return "\n".join(_ruleset_lines(service))


def _ruleset_lines(service: Service) -> Iterator[str]:
    for name, ruleset in service.rulesets.items():
        rows, reviewed = ruleset.edition.rows.values(), ruleset.summary.reviewed
        known = ", ".join(f"{reviewed[kind.value]} {kind.value.replace('-', ' ')}" for kind in Reviewed)
        preview = ", preview" if ruleset.edition.preview else ""
        yield f"{name}  {len(rows)} rules, {sum(row.in_force for row in rows)} in force{preview}: {known}"
        yield f"      {ruleset.digest}"
    for name, local in service.jurisdictions_by_id.items():
        adopted = ", ".join(f"{a.edition} from {a.since.isoformat()}" for a in local.jurisdiction.adoptions)
        yield f"{name}  {local.jurisdiction.name}: {adopted}"
        yield f"      {local.digest}"


def check_ruleset(file: str, text: str) -> str:
    """Return a sentence on what a ruleset file holds, where all of it is in order: a local ruleset, or an edition.

    Raises:
        RulesetError: naming file, line and reason of the first thing that is not.
    """
    editions, rules = load_editions(), load_rules()
    since = first_asked(editions)
    if "edition" in parse_toml(file, text):
        edition = read_edition(file, text)
        try:
            found = join(edition, rules, since)
        except RulesetError as broken:
            raise RulesetError(file, broken.line, broken.reason) from None
        return f"edition {edition.name}; rows: {len(found.edition.rows)}"
    local = read_jurisdiction(file, text, editions, member_values())
    for own in local.requirements:
        if own.id in rules:
            raise RulesetError(file, _line_of(text, own.id), f"requirement: {own.id} is already the id of a rule")
    try:
        local_rulesets(local, editions, rules, since)
    except RulesetError as broken:
        raise RulesetError(file, _line_of(text, broken.reason.partition(":")[0]), broken.reason) from None
    return (
        f"local ruleset {local.id}; adoptions: {len(local.adoptions)}, amendments: {len(local.amendments)}, "
        f"requirements of its own: {len(local.requirements)}, ceilings: {len(local.ceilings)}"
    )


def _line_of(text: str, named: str) -> int | None:
    """Return the line that gives a requirement this id, or amends this rule."""
    lines = enumerate(text.splitlines(), 1)
    return next((n for n, line in lines if re.match(rf'(id|rule)\s*=\s*"{re.escape(named)}"', line)), None)


def coverage_text() -> str:
    """Return the page on what the rules are tested with."""
    rules = load_rules()
    cases = {name: rule_cases(name) for name in rules}
    return coverage_page(coverage(rules, load_editions(), cases), cases)


def doubts_text(edition: str | None = None) -> str:
    """Return the page on what is not known, of one edition or of all.

    Raises:
        KeyError: if there is no such edition.
    """
    editions = load_editions()
    return doubts_page(editions if edition is None else {edition: editions[edition]}, tables())


def rules_text() -> str:
    """Return the page on every rule: its words, and what each edition makes of it."""
    return rules_page(Service.load())


def members_text() -> str:
    """Return the page on every member of a proposal."""
    return members_page(published_schema())
