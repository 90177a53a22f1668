"""Both readers take the same bytes, refuse the same bytes, and say where."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from changeout.domain.problems import Refusal
from changeout.intake.placing import MOST_LEVELS, place, read_placing
from changeout.intake.reader import MOST_BYTES, decode, parse, read_json

DEEPEST = "[" * MOST_LEVELS + "]" * MOST_LEVELS
TOO_DEEP = "[" * (MOST_LEVELS + 1) + "]" * (MOST_LEVELS + 1)
LARGEST = "17976931348623157" + "0" * 292

TAKEN = [
    "null",
    "true",
    "false",
    "0",
    "-0",
    "-0.0",
    "0.0",
    "0e5",
    "1e5",
    "1E+5",
    "1e-5",
    "12.50",
    "1e308",
    "-1e308",
    "5e-324",
    "0e-999",
    "9007199254740993",
    LARGEST,
    "1" + "0" * 308,
    '""',
    '"a"',
    '"\\u0041"',
    '"\\ud83d\\ude00"',
    '"\\uD83D\\uDE00 x"',
    '"\\"\\\\\\/\\b\\f\\n\\r\\t"',
    '"\u2028\u00e9\U0001f600"',
    '"\x7f"',
    '"\ufeff"',
    "[]",
    "{}",
    "[1,2]",
    '{"a":1,"b":[true,null]}',
    ' \t\r\n{ "a" : 1 } \n',
    '{"a":{"a":{"a":1}}}',
    '{"":1}',
    '{"a~/b":1}',
    '{"NaN":"Infinity"}',
    DEEPEST,
    '{"a":' * MOST_LEVELS + "1" + "}" * MOST_LEVELS,
]

REFUSED = [
    # text, code, line, column
    ('{"a":1,"a":2}', "duplicate-key", 1, 8),
    ('{"a":1,\n "b":2,\n "a":1}', "duplicate-key", 3, 2),
    ('{"a":{"b":1,"b":1}}', "duplicate-key", 1, 13),
    ('{"a":1,"\\u0061":2}', "duplicate-key", 1, 8),
    ('[{"a":1},{"a":1,"a":1}]', "duplicate-key", 1, 17),
    ("NaN", "not-a-number", 1, 1),
    ('{"a": NaN}', "not-a-number", 1, 7),
    ("[Infinity]", "not-a-number", 1, 2),
    ("[1,\r\n-Infinity]", "not-a-number", 2, 1),
    ("1e400", "number-out-of-range", 1, 1),
    ("[-1e400]", "number-out-of-range", 1, 2),
    ("1.0e309", "number-out-of-range", 1, 1),
    ("1e-400", "number-out-of-range", 1, 1),
    ("0.1e-400", "number-out-of-range", 1, 1),
    ("1e99999999999", "number-out-of-range", 1, 1),
    ("1" + "0" * 309, "number-out-of-range", 1, 1),
    ("-1" + "0" * 309, "number-out-of-range", 1, 1),
    ("9" * 5000, "number-out-of-range", 1, 1),
    ('{"a":' + "9" * 400 + "}", "number-out-of-range", 1, 6),
    ('"\\ud800"', "lone-surrogate", 1, 1),
    ('"\\udc00"', "lone-surrogate", 1, 1),
    ('"\\uDBFF x"', "lone-surrogate", 1, 1),
    ('{"a": "\\ud83d\\u0041"}', "lone-surrogate", 1, 7),
    ('{"\\ud800": 1}', "lone-surrogate", 1, 2),
    ('["\\ude00\\ud83d"]', "lone-surrogate", 1, 2),
    (TOO_DEEP, "nesting-too-deep", 1, 33),
    ('{"a":' * 33 + "1" + "}" * 33, "nesting-too-deep", 1, 161),
    ("[" * 2000 + "]" * 2000, "nesting-too-deep", 1, 33),
    ("[" * 100_000, "nesting-too-deep", 1, 33),
    ('[{"a":' * 20, "nesting-too-deep", 1, 97),
    ("[1,]", "malformed-json", 1, 4),
    ('{"a":1,}', "malformed-json", 1, 8),
    ("[,1]", "malformed-json", 1, 2),
    ("[1 2]", "malformed-json", 1, 4),
    ("{1:2}", "malformed-json", 1, 2),
    ("{a:1}", "malformed-json", 1, 2),
    ("{'a':1}", "malformed-json", 1, 2),
    ('{"a" 1}', "malformed-json", 1, 6),
    ('{"a":}', "malformed-json", 1, 6),
    ('{"a"', "malformed-json", 1, 5),
    ('{"a":1', "malformed-json", 1, 7),
    ("{", "malformed-json", 1, 2),
    ("[", "malformed-json", 1, 2),
    ("]", "malformed-json", 1, 1),
    ('{"a":1}}', "malformed-json", 1, 8),
    ("1 2", "malformed-json", 1, 3),
    ('{} {"a":1}', "malformed-json", 1, 4),
    ("01", "malformed-json", 1, 2),
    ("-01", "malformed-json", 1, 3),
    ("+1", "malformed-json", 1, 1),
    (".5", "malformed-json", 1, 1),
    ("5.", "malformed-json", 1, 2),
    ("1e", "malformed-json", 1, 2),
    ("1e+", "malformed-json", 1, 2),
    ("-", "malformed-json", 1, 1),
    ("0x10", "malformed-json", 1, 2),
    ("1_000", "malformed-json", 1, 2),
    ("\u0663", "malformed-json", 1, 1),
    ("[1\u0663]", "malformed-json", 1, 3),
    ("tru", "malformed-json", 1, 1),
    ("True", "malformed-json", 1, 1),
    ("nul", "malformed-json", 1, 1),
    ("nan", "malformed-json", 1, 1),
    ("undefined", "malformed-json", 1, 1),
    ("truefalse", "malformed-json", 1, 5),
    ("// note\n1", "malformed-json", 1, 1),
    ("/* note */ 1", "malformed-json", 1, 1),
    ('{"a":1 /* note */}', "malformed-json", 1, 8),
    ('"a', "malformed-json", 1, 3),
    ('"a\nb"', "malformed-json", 1, 3),
    ('"a\tb"', "malformed-json", 1, 3),
    ('"a\x00b"', "malformed-json", 1, 3),
    ('"\\x41"', "malformed-json", 1, 2),
    ('"\\u12"', "malformed-json", 1, 2),
    ('"\\u12G4"', "malformed-json", 1, 2),
    ('"\\u 123"', "malformed-json", 1, 2),
    ('"\\u+123"', "malformed-json", 1, 2),
    ('"\\', "malformed-json", 1, 2),
    ("'a'", "malformed-json", 1, 1),
    ("\x0b1", "malformed-json", 1, 1),
    ("\u00a01", "malformed-json", 1, 1),
    ("1\u2003", "malformed-json", 1, 2),
    ("1\x00", "malformed-json", 1, 2),
    ("\x00", "malformed-json", 1, 1),
    ('[1,\n\n  "b" "c"]', "malformed-json", 3, 7),
    ('{"\u00e9\U0001f600": tru}', "malformed-json", 1, 8),
]


@pytest.mark.parametrize("text", TAKEN)
def test_both_readers_take_what_is_json(text):
    expected = json.loads(text)
    assert parse(text) == expected
    assert read_placing(text) == expected
    assert read_json(text.encode()).value == expected


@pytest.mark.parametrize("text, code, line, column", REFUSED)
def test_both_readers_refuse_what_is_not(text, code, line, column):
    for reader in (parse, read_placing, lambda t: read_json(t.encode())):
        with pytest.raises(Refusal) as refused:
            reader(text)
        (error,) = refused.value.errors
        assert (refused.value.problem.code, error.code, error.line, error.column) == (code, code, line, column)
        assert refused.value.problem.status == 400
        assert error.detail.endswith(".")


BYTES = [
    (b"", "empty-body", None),
    (b" \r\n\t ", "empty-body", None),
    (b"\xef\xbb\xbf{}", "byte-order-mark", (1, 1)),
    (b"\xff\xfe{\x00}\x00", "byte-order-mark", (1, 1)),
    (b"\xfe\xff\x00{\x00}", "byte-order-mark", (1, 1)),
    (b'{"a":"\xff"}', "not-utf-8", (1, 7)),
    (b'{"a":"\xc3\xa9",\n"b":"\xe9"}', "not-utf-8", (2, 6)),
    (b'"\xc0\xaf"', "not-utf-8", (1, 2)),
    (b'"\xf4\x90\x80\x80"', "not-utf-8", (1, 2)),
    (b'"\xe2\x82', "not-utf-8", (1, 2)),
    (b'"\xed\x9f\xbf\xed"', "not-utf-8", (1, 3)),
    (b'"\xed\xa0\x80"', "lone-surrogate", (1, 2)),
    (b'"x\xed\xbf\xbf"', "lone-surrogate", (1, 3)),
    ("{}".encode("utf-16-le"), "malformed-json", (1, 2)),
    ("{}".encode("utf-32-be"), "malformed-json", (1, 1)),
]


@pytest.mark.parametrize("body, code, place_", BYTES)
def test_bytes_that_are_no_text_are_refused(body, code, place_):
    with pytest.raises(Refusal) as refused:
        read_json(body)
    assert refused.value.problem.code == code
    assert [(e.line, e.column) for e in refused.value.errors] == ([place_] if place_ else [])


def test_the_greatest_size_is_taken_and_one_byte_more_is_not():
    fits = b'"' + b"a" * (MOST_BYTES - 2) + b'"'
    assert len(read_json(fits).value) == MOST_BYTES - 2
    with pytest.raises(Refusal) as refused:
        decode(fits + b" ")
    assert (refused.value.problem.code, refused.value.problem.status) == ("body-too-large", 413)


def test_the_pointer_of_a_refusal_leads_to_what_was_being_read():
    with pytest.raises(Refusal) as refused:
        parse('{"supply": {"runs": [{"id": "a"}, {"id": tru}]}}')
    assert refused.value.errors[0].pointer == "/supply/runs/1/id"


def test_places_of_values_and_keys():
    text = '{\n  "a": [10, {"b~/": "x"}],\r\n  "c": {}\r}'
    places = place(text)
    assert places.of_value("") == (1, 1)
    assert places.of_value("/a") == (2, 8)
    assert places.of_key("/a") == (2, 3)
    assert places.of_value("/a/0") == (2, 9)
    assert places.of_key("/a/0") == (2, 9)
    assert places.of_value("/a/1/b~0~1") == (2, 21)
    assert places.of_key("/a/1/b~0~1") == (2, 14)
    assert places.of_value("/c") == (3, 8)


def test_a_place_that_is_not_there_is_the_innermost_value_around_it():
    places = place('{"a": {"b": [1]}}')
    assert places.of_value("/a/missing") == places.of_value("/a")
    assert places.of_value("/a/b/5") == places.of_value("/a/b")
    assert places.of_value("/a/b/0/x") == places.of_value("/a/b/0")
    assert places.of_key("/a/missing") == places.of_value("/a")


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner, max_size=4),
    max_leaves=12,
)
FRAGMENTS = [
    '"',
    "\\",
    "\\u",
    "d800",
    ",",
    ":",
    "{",
    "}",
    "[",
    "]",
    "NaN",
    "1e999",
    "-",
    "0",
    "\x00",
    " ",
    "\n",
    "\u0663",
    "e",
    ".",
]


@st.composite
def nearly_json(draw):
    """JSON with some characters taken out, doubled or put in."""
    text = json.dumps(draw(values), ensure_ascii=draw(st.booleans()), indent=draw(st.sampled_from([None, 1])))
    for _ in range(draw(st.integers(0, 3))):
        at, until = sorted((draw(st.integers(0, len(text))), draw(st.integers(0, len(text)))))
        text = text[:at] + draw(st.sampled_from([*FRAGMENTS, "", text[at:until] * 2])) + text[until:]
    return text


@given(nearly_json())
@settings(max_examples=400, deadline=None)
def test_both_readers_agree_on_anything(text):
    assert outcome(parse, text) == outcome(read_placing, text)


def outcome(reader, text):
    try:
        return "value", json.dumps(reader(text))
    except Refusal as refusal:
        return refusal.problem.code, refusal.errors


@given(values)
@settings(max_examples=100, deadline=None)
def test_every_value_is_where_its_place_says(value):
    text = json.dumps(value, indent=2)
    places = place(text)
    lines = text.split("\n")
    decoder = json.JSONDecoder()
    for pointer, found in walked(value, ""):
        line, column = places.of_value(pointer)
        rest = "\n".join([lines[line - 1][column - 1 :], *lines[line:]])
        assert decoder.raw_decode(rest)[0] == found


def walked(value, pointer):
    yield pointer, value
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for token, child in inner:
        escaped = str(token).replace("~", "~0").replace("/", "~1")
        yield from walked(child, f"{pointer}/{escaped}")
