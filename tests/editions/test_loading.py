"""Ruleset files: what is not in order is refused, naming file and line; what can change an answer changes the digest."""

import datetime as dt
from importlib import resources

import pytest

from changeout.domain.findings import Effect
from changeout.domain.vocabulary import EDITIONS
from changeout.editions.load import UNIT_ENDINGS, load_editions, read_edition
from changeout.editions.rows import RulesetError
from changeout.review.ruleset import first_asked, join
from changeout.rules import load_rules

GOOD = """\
[edition]
name = "2023"
code = "National Electrical Code"
preview = false
note = ""

[rule.working-space-width]
in_force = true
effect = "violation"
section = "110.26(A)(2)"
source = "from memory"
reviewed = "from-memory"
[rule.working-space-width.parameters]
min_in = { value = 30, unit = "in" }
"""
WIDTH_AT = GOOD.splitlines().index("[rule.working-space-width]") + 1


def test_a_good_file_is_read():
    edition = read_edition("x.toml", GOOD)
    row = edition.rows["working-space-width"]
    assert (row.section, row.effect, row.parameters["min_in"].value) == ("110.26(A)(2)", Effect.VIOLATION, 30)


@pytest.mark.parametrize(
    "old,new,line,says",
    [
        ("[edition]", "[edition", 1, "not TOML"),
        ("preview = false", "preview = 0", 4, "preview"),
        ('note = ""', 'remark = ""', 1, "note"),
        ("in_force = true", 'in_force = "yes"', WIDTH_AT + 1, "in_force must be true or false"),
        ('effect = "violation"', 'effect = "warning"', WIDTH_AT + 2, "effect must be one of"),
        ('effect = "violation"', 'effect = "none"', WIDTH_AT + 2, "a row in force has an effect"),
        ('section = "110.26(A)(2)"', 'section = ""', WIDTH_AT + 3, "section must be a text"),
        ('source = "from memory"', 'source = ""', WIDTH_AT + 4, "a source is needed"),
        ('source = "from memory"', 'sauce = "from memory"', WIDTH_AT + 4, "unknown key sauce"),
        ('reviewed = "from-memory"', 'reviewed = "sure"', WIDTH_AT + 5, "reviewed must be one of"),
        ('unit = "in"', 'unit = "ft"', WIDTH_AT + 7, "must have the unit in"),
        (', unit = "in"', "", WIDTH_AT + 7, "must have the unit in"),
        ("{ value = 30, unit", "{ amount = 30, unit", WIDTH_AT + 7, "must be { value"),
        ("value = 30,", "value = [[1]],", WIDTH_AT + 7, "a value of no known kind"),
    ],
)
def test_what_is_not_in_order_is_refused_at_its_line(old, new, line, says):
    with pytest.raises(RulesetError, match=says) as caught:
        read_edition("x.toml", GOOD.replace(old, new, 1))
    assert (caught.value.file, caught.value.line) == ("x.toml", line)


def shipped(name):
    return resources.files("changeout.editions").joinpath(f"{name}.toml").read_text("utf-8")


def joined(text):
    return join(read_edition("2023.toml", text), load_rules(), first_asked(load_editions()))


@pytest.mark.parametrize("name", EDITIONS)
def test_the_shipped_editions_join_with_the_rules(name):
    assert len(joined(shipped(name)).edition.rows) >= 117


def test_a_row_without_a_rule_and_a_rule_without_a_row_are_refused():
    with pytest.raises(RulesetError, match="no rule is called"):
        joined(shipped("2023").replace("[rule.working-space-width", "[rule.working-space-girth"))
    text = shipped("2023")
    start = text.index("[rule.working-space-height]")
    end = text.index("[rule.", text.index("[rule.working-space-height.parameters]") + 8)
    with pytest.raises(RulesetError, match="working-space-height has no row"):
        joined(text[:start] + text[end:])


def test_a_missing_and_an_unknown_parameter_are_refused():
    with pytest.raises(RulesetError, match="parameter min_in is missing"):
        joined(shipped("2023").replace('min_in = { value = 30, unit = "in" }\n', "", 1))
    with pytest.raises(RulesetError, match="knows no parameter most_in"):
        joined(
            shipped("2023").replace(
                'min_in = { value = 30, unit = "in" }',
                'min_in = { value = 30, unit = "in" }\nmost_in = { value = 40, unit = "in" }',
                1,
            )
        )


def test_the_digest_moves_with_whatever_can_move_an_answer():
    text = shipped("2023")
    digests = {
        joined(changed).digest
        for changed in (
            text,
            text.replace('min_in = { value = 30, unit = "in" }', 'min_in = { value = 31, unit = "in" }', 1),
            text.replace('section = "110.26(A)(2)"', 'section = "110.26(A)(9)"', 1),
            text.replace('reviewed = "verified"', 'reviewed = "unverified"', 1),
        )
    }
    assert len(digests) == 4
    assert joined(text).digest == joined(text).digest


def test_every_row_says_how_it_is_known():
    for edition in load_editions().values():
        for row in edition.rows.values():
            assert row.source.strip()
            if row.in_force:
                assert row.section or "not in the" in (row.note or ""), row.rule


def test_units_follow_from_names():
    endings = [ending for ending, _ in UNIT_ENDINGS]
    assert len(set(endings)) == len(endings)
    for edition in load_editions().values():
        for row in edition.rows.values():
            for name, parameter in row.parameters.items():
                if isinstance(parameter.value, float) and parameter.unit is None:
                    assert not any(name.endswith(ending) for ending in endings), name
                assert not isinstance(parameter.value, dt.datetime)
