"""Every kind of member takes its own JSON type, and converts none into another."""

import datetime as dt

import pytest
from marshmallow import ValidationError

from changeout.domain.vocabulary import CONDUCTOR_SIZES
from changeout.intake import ranges
from changeout.intake.fields import (
    Annotations,
    Count,
    Day,
    DocumentRef,
    Flag,
    PowerOrCurrent,
    Quantity,
    Ratio,
    Size,
    Text,
    Version,
    VoltageRating,
    Word,
    Words,
    about,
)
from changeout.intake.quantity import CURRENT, EQUIPMENT_LOAD

SAID = about("Title", "Meaning.", found_at="somewhere")

FIELDS = {
    "flag": Flag(SAID),
    "version": Version(SAID, 1),
    "ratio": Ratio(SAID, ranges.IMPEDANCE_PERCENT, 1.9),
    "count": Count(SAID, ranges.POLES, 2),
    "quantity": Quantity(SAID, CURRENT, ranges.CURRENT_RATING),
    "load": PowerOrCurrent(SAID, EQUIPMENT_LOAD, ranges.LOADS),
    "text": Text(SAID, 8, "x"),
    "document": DocumentRef(SAID, 8, "d1"),
    "day": Day(SAID),
    "word": Word(SAID, ("dry", "wet")),
    "words": Words(SAID, ("dry", "wet")),
    "size": Size(SAID),
    "voltage": VoltageRating(SAID),
    "annotations": Annotations(SAID),
}

TAKEN = [
    ("flag", True, True),
    ("flag", False, False),
    ("version", 1, 1),
    ("version", 1.0, 1),
    ("ratio", 2, 2.0),
    ("ratio", 1.9, 1.9),
    ("ratio", 0.1, 0.1),
    ("ratio", 20, 20.0),
    ("count", 1, 1),
    ("count", 3.0, 3),
    ("count", 6, 6),
    ("quantity", "0.2 kA", 200.0),
    ("quantity", "6 kA", 6000.0),
    ("load", "5 hp", (5.0, "hp")),
    ("load", "0 W", (0.0, "W")),
    ("text", "a", "a"),
    ("text", " a b ", " a b "),
    ("text", "\U0001f600" * 8, "\U0001f600" * 8),
    ("document", "d1", "d1"),
    ("day", "2026-03-02", dt.date(2026, 3, 2)),
    ("day", "2024-02-29", dt.date(2024, 2, 29)),
    ("word", "dry", "dry"),
    ("words", [], ()),
    ("words", ["wet", "dry"], ("wet", "dry")),
    *(("size", size, size) for size in CONDUCTOR_SIZES),
    ("voltage", "240 V", ("240 V", 240.0, None)),
    ("voltage", "120/240 V", ("120/240 V", 240.0, 120.0)),
    ("voltage", "480Y/277 V", ("480Y/277 V", 480.0, 277.0)),
    ("voltage", "208Y/120 V", ("208Y/120 V", 208.0, 120.0)),
    ("voltage", "1000 V", ("1000 V", 1000.0, None)),
    ("annotations", {}, {}),
    ("annotations", {"permit": "B-17", "note": None}, {"permit": "B-17"}),
    ("annotations", {str(n): "x" for n in range(20)}, {str(n): "x" for n in range(20)}),
]

HOSTILE = [0, 1, 1.0, -1, 1.5, 10**400, True, False, "", "1", "yes", "true", "\u0663", [], ["1"], {}, {"a": 1}, b"1"]

REFUSED = [
    *(("flag", value, "wrong-type") for value in HOSTILE if not isinstance(value, bool)),
    *(("version", value, "wrong-type") for value in (True, "1", [], {}, b"1")),
    *(("version", value, "not-in-list") for value in (0, 2, 1.5, -1, 10**400)),
    *(("ratio", value, "wrong-type") for value in (True, "1.9", "1_000", "\u0663", [], {}, b"1")),
    *(("ratio", value, "out-of-range") for value in (0, 0.0999, 20.01, -1.9, 10**400, float("nan"))),
    *(("count", value, "wrong-type") for value in (True, "3", 3.9, 1.5, "\u0663", [], {}, b"3")),
    *(("count", value, "out-of-range") for value in (0, 7, -1, 7.0, 10**400, 1e300)),
    *(("quantity", value, "bare-number") for value in (200, 0, 1.5, -1, "200")),
    *(("quantity", value, "wrong-type") for value in (True, [], {}, b"200 A", ["200 A"])),
    *(("quantity", value, "out-of-range") for value in ("0 A", "6001 A", "-200 A", "1e400 A")),
    ("quantity", "200 V", "wrong-unit"),
    ("quantity", "200A", "bad-quantity"),
    *(("load", value, "out-of-range") for value in ("1001 hp", "6001 A", "21 MVA", "20001 kW", "-5 hp")),
    ("load", "5 in", "wrong-unit"),
    ("load", 5, "bare-number"),
    *(("text", value, "wrong-type") for value in (1, True, [], {}, b"a")),
    *(("text", value, "bad-text") for value in ("", " ", "   ", "a" * 9, "a\n", "\ta", "a\x00", "a\x7f", "a\x85")),
    *(("text", value, "bad-text") for value in ("a\u2028", "a\u202eb", "\u2066a", "\ufeffa", "a\uffff", "a\x1b[0m")),
    *(("document", value, "wrong-type") for value in (1, None, {"id": "d1"})),
    *(("day", value, "wrong-type") for value in (20260302, True, [], {})),
    *(("day", v, "bad-date") for v in ("20260302", "2026-3-2", "2026-13-01", "2026-02-30", "2025-02-29", "0000-01-01")),
    *(
        ("day", v, "bad-date")
        for v in ("2026-03-02T00:00", " 2026-03-02", "2026-03-02\n", "2026-W10-1", "\u0662026-03-02")
    ),
    *(("word", value, "wrong-type") for value in (1, True, [], {}, ["dry"], None)),
    *(("word", value, "not-in-list") for value in ("", "Dry", " dry", "dry\n", "damp")),
    *(("words", value, "wrong-type") for value in ("dry", 1, {}, {"dry": True}, True)),
    *(
        ("size", value, "not-in-list")
        for value in ("12", "12AWG", "12 awg", "4/0", "250 MCM", "13 AWG", "0 AWG", "16 AWG")
    ),
    *(("size", value, "wrong-type") for value in (12, 4.0, [], {})),
    *(("voltage", value, "wrong-type") for value in (240, True, [], {})),
    *(("voltage", v, "bad-voltage") for v in ("240", "240V", "240/120 V", "277Y/480 V", "240/240 V", "480Y/480 V")),
    *(
        ("voltage", v, "bad-voltage")
        for v in (
            "120/240/480 V",
            "Y/120 V",
            "240 V\n",
            "0240 V",
            "24.5 V",
            "480y/277 V",
            "2 V",
            "\u0662\u0664\u0660 V",
        )
    ),
    *(("voltage", value, "out-of-range") for value in ("48 V", "1001 V", "12/240 V", "9999 V")),
    *(("annotations", value, "wrong-type") for value in ([], "x", 1, True)),
    ("annotations", {str(n): "x" for n in range(21)}, "too-many"),
]


@pytest.mark.parametrize("name, value, expected", TAKEN)
def test_a_member_takes_its_own_type(name, value, expected):
    taken = FIELDS[name].take(value)
    assert taken == expected
    assert type(taken) is type(expected) or isinstance(expected, tuple)
    assert FIELDS[name].deserialize(value) == expected


@pytest.mark.parametrize("name, value, code", REFUSED)
def test_a_member_refuses_everything_else(name, value, code):
    with pytest.raises(ValidationError) as refused:
        FIELDS[name].take(value)
    (flaw,) = refused.value.messages
    assert flaw.code == code
    detail, _suggestion = flaw.by.explain(flaw.code, flaw.value)
    assert detail.endswith(".")
    assert "\n" not in detail


def test_each_word_of_a_list_is_judged_by_itself():
    with pytest.raises(ValidationError) as refused:
        FIELDS["words"].take(["dry", 1, "damp", "dry", []])
    assert {index: flaws[0].code for index, flaws in refused.value.messages.items()} == {
        1: "wrong-type",
        2: "not-in-list",
        3: "not-unique",
        4: "wrong-type",
    }


def test_each_annotation_is_judged_by_itself():
    with pytest.raises(ValidationError) as refused:
        FIELDS["annotations"].take({"a": 1, "b" * 65: "x", "c": "x" * 201, "d": "x", "\n": "x", "e": {}})
    assert {name: flaws[0].code for name, flaws in refused.value.messages.items()} == {
        "a": "wrong-type",
        "b" * 65: "bad-text",
        "c": "bad-text",
        "\n": "bad-text",
        "e": "wrong-type",
    }


def test_negative_zero_is_zero():
    assert str(Ratio(SAID, ranges.SHARE, 0.5).take(-0.0)) == "0.0"


WORDS = [
    ("word", "Dry", "dry"),
    ("word", " dry ", "dry"),
    ("word", "snow", None),
    ("size", "4/0", "4/0 AWG"),
    ("size", "4/0AWG", "4/0 AWG"),
    ("size", "#12", "12 AWG"),
    ("size", "12 awg", "12 AWG"),
    ("size", "250 MCM", "250 kcmil"),
    ("size", "250kcmil", "250 kcmil"),
    ("size", "500", "500 kcmil"),
    ("size", "13 AWG", None),
    ("size", "1" * 10_000, None),
]


@pytest.mark.parametrize("name, value, suggestion", WORDS)
def test_a_word_spelled_otherwise_is_suggested(name, value, suggestion):
    assert FIELDS[name].explain("not-in-list", value)[1] == suggestion


def test_a_word_with_digits_is_never_guessed():
    editions = Word(SAID, ("2017", "2020", "2023"))
    systems = Word(SAID, ("240V-3ph-3w", "480V-3ph-3w"))
    assert editions.explain("not-in-list", "2022")[1] is None
    assert systems.explain("not-in-list", "440V-3ph-3w")[1] is None
    assert Word(SAID, ("receptacle", "lighting")).explain("not-in-list", "recepticle")[1] == "receptacle"
