"""What is not known is listed in full, and nothing that is known is."""

from collections import Counter
from dataclasses import replace

import pytest

from changeout.domain.findings import Reviewed
from changeout.editions.load import load_editions
from changeout.editions.rows import Parameter
from changeout.review.doubts import doubts, doubts_page, table_doubts
from changeout.tables.load import tables

EDITIONS = load_editions()
RULE = "working-space-width"


def edition_with(**changes):
    edition = EDITIONS["2023"]
    return replace(edition, rows={RULE: replace(edition.rows[RULE], **changes)})


@pytest.mark.parametrize("name", EDITIONS)
def test_every_row_from_memory_or_unverified_is_listed_once(name):
    listed = Counter(d.rule for d in doubts([EDITIONS[name]]) if d.parameter is None)
    doubted = {r.rule for r in EDITIONS[name].rows.values() if r.reviewed.value in {"from-memory", "unverified"}}
    assert set(listed) == doubted
    assert set(listed.values()) <= {1}


@pytest.mark.parametrize("reviewed", Reviewed)
def test_the_mark_decides(reviewed):
    found = doubts([edition_with(reviewed=reviewed, parameters={}, source="a | b")])
    assert [d.reviewed for d in found] == ([reviewed] if reviewed.value in {"from-memory", "unverified"} else [])


def test_a_parameter_from_memory_in_a_row_that_was_read_is_listed_with_its_own_source():
    parameters = {
        "min_in": Parameter(value=30.0, unit="in", source="from memory, unreviewed: 110.26"),
        "other_in": Parameter(value=30.0, unit="in", source="read in a trade magazine"),
        "third_in": Parameter(value=30.0, unit="in"),
    }
    (found,) = doubts([edition_with(reviewed=Reviewed.VERIFIED, parameters=parameters)])
    assert (found.edition, found.rule, found.parameter) == ("2023", RULE, "min_in")
    assert found.source == "from memory, unreviewed: 110.26"


def test_the_page_has_section_and_source_and_escapes_what_would_break_the_table():
    edition = edition_with(reviewed=Reviewed.UNVERIFIED, source="a | b")
    page = doubts_page({"2023": edition}, {})
    assert f"| `{RULE}` | 110.26(A)(2) | unverified | a \\| b |" in page
    assert "| 2023 | 0 | 0 | 0 | 1 |" in page
    known = doubts_page({"2023": edition_with(reviewed=Reviewed.VERIFIED, parameters={})}, {})
    assert "Nothing: every row was read" in known


def test_tables_in_doubt_are_those_that_say_so():
    found = {d.table: d for d in table_doubts(tables())}
    for name, table in tables().items():
        marks = {table.reviewed, *(p.reviewed for p in table.places.values())}
        marks |= {table.row_mark(row) for part in table.parts.values() for row in part}
        assert (name in found) == bool(marks & {"from-memory", "unverified"})
