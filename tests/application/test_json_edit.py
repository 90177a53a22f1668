"""Changing a JSON text: what is changed is changed, and everything else stays as it is written."""

import json

import jsonpatch
import jsonpointer
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from changeout.application.json_edit import edited, laid_out, one_kind_of_line_break, setting
from changeout.domain.problems import Refusal

NAMES = st.text(st.characters(codec="utf-8", exclude_characters="\ud800"), max_size=3)
PLAIN = st.none() | st.booleans() | st.integers(-9, 9) | st.just(1.5) | st.text('ab"\\/~é\n', max_size=3)
VALUES = st.recursive(PLAIN, lambda of: st.lists(of, max_size=3) | st.dictionaries(NAMES, of, max_size=3), max_leaves=9)
OBJECTS = st.dictionaries(NAMES, VALUES, max_size=4)


def pointers(value, at=""):
    yield at
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, child in inner:
        yield from pointers(child, f"{at}/{str(name).replace('~', '~0').replace('/', '~1')}")


@settings(deadline=None)
@given(data=st.data(), document=OBJECTS, indent=st.sampled_from([None, 0, 2]), value=VALUES)
def test_the_value_is_what_the_patch_makes_of_it(data, document, indent, value):
    existing = [at for at in pointers(document) if at]
    new = [f"{at}/new" for at in pointers(document)]
    path = data.draw(st.sampled_from(existing + new))
    operation = {"op": data.draw(st.sampled_from(["add", "replace", "remove"])), "path": path, "value": value}
    text = json.dumps(document, indent=indent, ensure_ascii=False)
    try:
        expected = jsonpatch.apply_patch(document, [operation])
    except (jsonpatch.JsonPatchException, jsonpointer.JsonPointerException, TypeError, AttributeError, ValueError):
        with pytest.raises(Refusal):
            edited(text, [operation])
        return
    assert json.dumps(json.loads(edited(text, [operation]))) == json.dumps(expected)


@settings(deadline=None)
@given(document=OBJECTS, value=VALUES)
def test_setting_a_member_makes_it_so_and_what_is_around_it(document, value):
    document.pop("a", None)
    operation = setting(document, "/a/b/c", value)
    assert json.loads(edited(json.dumps(document), [operation])) == {**document, "a": {"b": {"c": value}}}


TEXT = """{
  "a": { "x": 1.50, "y": "é" },
  "list": [ 1, { "k": 2 } ],
  "empty": {},
\t"tabbed": {
\t\t"one": 1
\t}
}
"""


@pytest.mark.parametrize(
    ("path", "value", "old", "new"),
    [
        ("/a/x", 2, "1.50", "2"),
        ("/a/y", "è", '"é"', '"è"'),
        ("/a/z", True, '"é" }', '"é", "z": true }'),
        ("/list/1/k", [3], "2 }", "[3] }"),
        ("/list/1/m", 3, "2 }", '2, "m": 3 }'),
        ("/empty/n", None, "{}", '{ "n": null }'),
        ("/tabbed/two", 2, '"one": 1', '"one": 1,\n\t\t"two": 2'),
        ("/last", 0, "\t}\n}", '\t},\n  "last": 0\n}'),
    ],
)
def test_only_the_place_of_the_change_is_written(path, value, old, new):
    assert edited(TEXT, [setting(json.loads(TEXT), path, value)]) == TEXT.replace(old, new)


def test_what_is_missing_around_a_member_is_made():
    assert edited('{"a": 1}', [setting({"a": 1}, "/b/c/d", 2)]) == '{"a": 1, "b": {"c": {"d": 2}}}'
    assert edited('{"b": null}', [setting({"b": None}, "/b/c", 2)]) == '{"b": {"c": 2}}'


@pytest.mark.parametrize("pointer", ["/list/7/k", "/a/x/deep", "/list/first"])
def test_a_member_without_a_place_is_refused(pointer):
    with pytest.raises(Refusal, match="no place"):
        setting(json.loads(TEXT), pointer, 1)


def test_what_moves_things_lays_the_document_out_anew():
    moved = edited(TEXT, [{"op": "move", "from": "/list/0", "path": "/list/1"}])
    assert moved == laid_out(json.loads(moved))
    assert json.loads(moved)["list"] == [{"k": 2}, 1]


@pytest.mark.parametrize("text", ["[1]", "1", "{", ""])
def test_only_an_object_is_changed(text):
    with pytest.raises(Refusal):
        edited(text, [{"op": "add", "path": "/a", "value": 1}])


def test_line_breaks_become_one_kind():
    assert one_kind_of_line_break("a\r\nb\rc\nd") == "a\nb\nc\nd"
