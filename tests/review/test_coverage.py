"""The table of cases sees what is missing: a kind without a case, a difference that no pair of cases shows."""

import copy
from dataclasses import replace

import pytest

from changeout.editions.load import load_editions
from changeout.editions.rows import Parameter
from changeout.review.catalogue import rule_cases
from changeout.review.coverage import KINDS, coverage, coverage_page, empty_cells
from changeout.rules import load_rules

RULE = "working-space-width"
EDITIONS = load_editions()


def found(table, editions=EDITIONS):
    return coverage({RULE: load_rules()[RULE]}, editions, {RULE: table})


def table():
    return copy.deepcopy(dict(rule_cases(RULE)))


def without(kind, edition):
    changed = table()
    for case in changed["case"]:
        if case["kind"] == kind:
            case["editions"] = [name for name in case["editions"] if name != edition]
    return changed


def with_wider_2023():
    """The editions with another least width in 2023: 2023 then differs from 2020, and 2026 from 2023."""
    row = EDITIONS["2023"].rows[RULE]
    changed = replace(row, parameters={"min_in": Parameter(value=36.0, unit="in")})
    rows = {**EDITIONS["2023"].rows, RULE: changed}
    return {**EDITIONS, "2023": replace(EDITIONS["2023"], rows=rows)}


def case(edition, outcome, **more):
    return {"name": f"34 in in {edition}", "kind": "exception", "editions": [edition], "outcome": outcome, **more}


WIDTH = {"/location/working_space/width": "34 in"}


def test_the_shipped_cases_leave_nothing_out():
    assert empty_cells(found(table())) == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_without_a_case_is_an_empty_cell_until_a_reason_is_written(kind):
    changed = without(kind, "2020")
    assert empty_cells(found(changed)) == [f"{RULE}: 2020 {kind}"]
    changed["gaps"] = {f"2020 {kind}": "there is none"}
    assert empty_cells(found(changed)) == []
    assert "2020: there is none" in coverage_page(found(changed), {RULE: changed})


def test_rows_that_differ_ask_for_the_same_facts_answered_otherwise():
    editions, changed = with_wider_2023(), table()
    assert empty_cells(found(changed, editions)) == [f"{RULE}: 2023 differs", f"{RULE}: 2026 differs"]
    changed["case"] += [
        case("2020", "satisfied", set=WIDTH),
        case("2023", "violation", set=WIDTH),
        case("2026", "satisfied", set=WIDTH),
    ]
    assert empty_cells(found(changed, editions)) == []


@pytest.mark.parametrize(
    "other",
    [
        case("2023", "satisfied", set=WIDTH),
        case("2023", "violation", set={"/location/working_space/width": "33 in"}),
        case("2023", "violation", set=WIDTH, start="motel-pool-room"),
        case("2023", "violation", set=WIDTH, remove=["/location/room"]),
    ],
)
def test_the_same_answer_or_other_facts_show_no_difference(other):
    editions, changed = with_wider_2023(), table()
    changed["case"] += [case("2020", "satisfied", set=WIDTH), other, case("2026", "satisfied", set=WIDTH)]
    assert f"{RULE}: 2023 differs" in empty_cells(found(changed, editions))


def test_another_section_or_number_required_is_another_answer():
    for answer in ({"section": "110.26"}, {"required": 36}, {"says": "36 in"}):
        changed = table()
        changed["case"] += [case("2020", "satisfied", set=WIDTH), case("2023", "satisfied", set=WIDTH, **answer)]
        assert f"{RULE}: 2023 differs" not in empty_cells(found(changed, with_wider_2023()))


def test_the_page_has_a_line_for_every_rule_and_edition():
    rules = load_rules()
    cases = {name: rule_cases(name) for name in rules}
    page = coverage_page(coverage(rules, EDITIONS, cases), cases)
    assert page.count("\n### ") == len(rules)
    assert sum(line.startswith(tuple(f"| {name} |" for name in EDITIONS)) for line in page.splitlines()) == 4 * len(
        rules
    )
