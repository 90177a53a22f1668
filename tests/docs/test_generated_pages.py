"""The pages that a command writes are as it writes them now."""

from importlib import resources

import pytest
from click.testing import CliRunner

from changeout.application.published_schema import published_schema, reference
from changeout.application.rulesets import coverage_text, doubts_text, members_text, rules_text
from changeout.application.service import Service
from changeout.cli import main
from changeout.web.api_page import api_page
from changeout.web.openapi import openapi_document
from changeout.web.operations import OPERATIONS

COMMANDS = {
    "coverage": "changeout ruleset coverage",
    "doubts": "changeout ruleset doubts",
    "rules": "changeout ruleset rules",
    "members": "changeout schema proposal --format markdown",
    "api": "python -m changeout.web.api_page",
}
PAGES = {
    "coverage": coverage_text,
    "doubts": doubts_text,
    "rules": rules_text,
    "members": members_text,
    "api": lambda: api_page(openapi_document(Service.load())),
}


def committed(name):
    return resources.files("changeout.docs").joinpath(f"{name}.md").read_text("utf-8")


@pytest.mark.parametrize("name", PAGES)
def test_the_committed_page_is_not_stale(name):
    stale = f"write it again: {COMMANDS[name]} > service/changeout/docs/{name}.md"
    assert committed(name) == PAGES[name](), stale


@pytest.mark.parametrize("name", [name for name in COMMANDS if COMMANDS[name].startswith("changeout")])
def test_the_command_writes_the_page(name):
    done = CliRunner().invoke(main, COMMANDS[name].split()[1:])
    assert done.exit_code == 0
    assert done.stdout == PAGES[name]()


def test_rules_has_every_rule_in_every_edition():
    page, service = committed("rules"), Service.load()
    parts = {part.split("\n", 1)[0]: part for part in page.split("\n### ")[1:]}
    assert set(parts) == set(service.rulesets["2023"].edition.rows)
    for rule, part in parts.items():
        for edition in service.editions():
            row = service.rule(edition, rule)
            assert f"| {edition} | {row['section'] or 'none'}" in part, (rule, edition)


def test_members_has_every_member_of_the_schema_with_its_place_in_the_field():
    page, schema = committed("members"), published_schema()
    lines = page.splitlines()
    for found in (schema, *schema["$defs"].values()):
        for name, member in found["properties"].items():
            described = " ".join(member["description"].split())
            rows = [line for line in lines if line.startswith(f"| `{name}` | {member['title']}. {described}")]
            assert rows, (found["title"], name)
            assert any(f"| {member['x-found-at']} | {member['x-stage'] or '-'} |" in row for row in rows), name
            for rule in member["x-topics"] if reference(member) is None else ():
                assert any(f"(rules.md#{rule})" in row for row in rows), (name, rule)


def test_members_names_the_rules_that_read_them():
    (row,) = [line for line in committed("members").splitlines() if line.startswith("| `short_circuit_rating` |")]
    assert "A current in A or kA, above 0 A and up to 300 kA" in row
    assert "| the nameplate of the panelboard | intake |" in row
    assert "(rules.md#short-circuit-rating-at-least-fault-current)" in row


def test_api_has_every_operation():
    page = committed("api")
    for operation in OPERATIONS:
        assert f"\n### {operation.method} {operation.path}\n\n{operation.summary}." in page
