"""Changes tried on a proposal: what they move, and that no patch makes the service work or remember without bound."""

import json
import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from changeout.application.service import Service
from changeout.application.what_if import MOST_OPERATIONS, MOST_VALUES, patched, what_if
from changeout.domain.problems import Refusal

SERVICE = Service.load()
DOCUMENT = json.loads(SERVICE.example("dwelling-service"))
RATING = "short-circuit-rating-at-least-fault-current"


def tried(**request):
    return what_if(SERVICE, json.dumps({"proposal": DOCUMENT, **request}).encode())


def test_a_patch_tells_what_it_moves():
    found = tried(patch=[{"op": "replace", "path": "/panelboard/short_circuit_rating", "value": "5 kA"}])
    (variant,) = found["variants"]
    assert (found["base"]["verdict"], variant["verdict"]) == ("conforms", "violations")
    moved = next(m for m in variant["moved"] if m["rule"] == RATING)
    assert (moved["before"], moved["after"]) == ("satisfied", "violation")


def test_a_sweep_judges_each_value_and_tells_of_the_unreadable_ones_by_themselves():
    found = tried(sweep={"pointer": "/panelboard/short_circuit_rating", "values": ["5 kA", 7, "65 kA", "5 miles"]})
    verdicts = [v.get("verdict") for v in found["variants"]]
    assert verdicts == ["violations", None, "conforms", None]
    assert [v.get("unreadable", [{}])[0].get("code") for v in found["variants"]] == [
        None,
        "bare-number",
        None,
        "wrong-unit",
    ]
    assert all(
        e["pointer"] == "/panelboard/short_circuit_rating" for v in found["variants"] for e in v.get("unreadable", [])
    )


def test_the_document_of_the_request_is_never_changed_by_a_variant():
    one = tried(sweep={"pointer": "/location/room", "values": ["bathroom", "garage"]})
    other = tried(sweep={"pointer": "/location/room", "values": ["garage"]})
    assert one["variants"][1] == other["variants"][0]


@pytest.mark.parametrize("count", [0, MOST_VALUES + 1])
def test_a_sweep_has_bounds(count):
    with pytest.raises(Refusal) as refused:
        tried(sweep={"pointer": "/location/room", "values": ["garage"] * count})
    assert refused.value.errors[0].pointer == "/sweep/values"


def test_as_many_values_as_there_may_be_are_judged():
    found = tried(
        sweep={"pointer": "/supply/source/impedance_percent", "values": [1 + i / 50 for i in range(MOST_VALUES)]}
    )
    assert len(found["variants"]) == MOST_VALUES


def test_a_patch_has_bounds():
    operation = {"op": "test", "path": "/changeout", "value": 1}
    assert tried(patch=[operation] * MOST_OPERATIONS)["variants"][0]["moved"] == []
    with pytest.raises(Refusal) as refused:
        tried(patch=[operation] * (MOST_OPERATIONS + 1))
    assert refused.value.errors[0].code == "too-many"


HOSTILE = {
    "replaces all by nothing": [{"op": "replace", "path": "", "value": None}],
    "replaces all by a number": [{"op": "replace", "path": "", "value": 5}],
    "replaces all by a list": [{"op": "replace", "path": "", "value": []}],
    "removes all": [{"op": "remove", "path": ""}],
    "appends to an object": [{"op": "add", "path": "/-", "value": 1}],
    "appends to a text": [{"op": "add", "path": "/location/room/-", "value": 1}],
    "no pointer": [{"op": "add", "path": "location", "value": 1}],
    "a bad escape": [{"op": "add", "path": "/~2", "value": 1}],
    "an index far away": [{"op": "add", "path": "/panelboard/circuits/99999999999999999999", "value": {}}],
    "an index of many digits": [{"op": "add", "path": "/panelboard/circuits/" + "9" * 5000, "value": {}}],
    "a negative index": [{"op": "remove", "path": "/panelboard/circuits/-1"}],
    "a leading zero": [{"op": "remove", "path": "/panelboard/circuits/01"}],
    "into itself": [{"op": "move", "from": "/panelboard", "path": "/panelboard/main"}],
    "a copy of all into itself": [{"op": "copy", "from": "", "path": "/project"}],
    "an unknown operation": [{"op": "merge", "path": "/a", "value": 1}],
    "an operation that is a number": [{"op": 5, "path": "/a"}],
    "a path that is a number": [{"op": "add", "path": 5, "value": 1}],
    "a path that is a list": [{"op": "add", "path": ["a"], "value": 1}],
    "no value": [{"op": "add", "path": "/a"}],
    "no from": [{"op": "move", "path": "/a"}],
    "a from that is null": [{"op": "copy", "from": None, "path": "/a"}],
    "operations that are no objects": [1, "a", None, []],
    "a deep path": [{"op": "add", "path": "/a" * 20_000, "value": 1}],
    "a member named by a thousand letters": [{"op": "add", "path": "/" + "a" * 1000, "value": 1}],
    "doubled over and over": [{"op": "copy", "from": "", "path": f"/x{i}"} for i in range(MOST_OPERATIONS)],
    "nested over and over": [{"op": "copy", "from": "", "path": "/x"} for _ in range(MOST_OPERATIONS)],
    "a long text copied": [
        {"op": "add", "path": "/x", "value": "y" * 100_000},
        *({"op": "copy", "from": "/x", "path": f"/x{i}"} for i in range(MOST_OPERATIONS - 1)),
    ],
}


@pytest.mark.parametrize("patch", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_patch_is_refused_or_makes_an_unreadable_variant_at_once(patch):
    start = time.process_time()
    try:
        (variant,) = tried(patch=patch)["variants"]
    except Refusal as refused:
        where = [e.pointer for e in refused.errors]
    else:
        where = [e["pointer"] for e in variant["unreadable"]]
        assert where
    assert len(where) <= 100
    assert time.process_time() - start < 5.0


def test_a_patch_that_would_fill_the_memory_says_so():
    with pytest.raises(Refusal) as refused:
        tried(patch=HOSTILE["doubled over and over"])
    assert "bytes" in refused.value.errors[0].detail


POINTERS = st.sampled_from(
    ["", "/-", "/", "/panelboard", "/panelboard/main", "/panelboard/circuits/0", "/panelboard/circuits/-", "/load",
     "/project", "/project/edition", "/supply/runs/0/length", "/supply/source", "/location/room", "/documents", "/x/y"]
)  # fmt: skip
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-5, 5) | st.text(max_size=5) | st.sampled_from(["200 A", "10 ft", "2023"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)
OPERATIONS = st.fixed_dictionaries(
    {"op": st.sampled_from(["add", "remove", "replace", "move", "copy", "test"]), "path": POINTERS},
    optional={"value": VALUES, "from": POINTERS},
)


@settings(max_examples=150, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.lists(OPERATIONS, min_size=1, max_size=8))
def test_any_patch_is_refused_or_judged_and_never_fails(patch):
    try:
        (variant,) = tried(patch=patch)["variants"]
    except Refusal:
        return
    assert ("unreadable" in variant) != ("verdict" in variant)


@settings(max_examples=80, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(POINTERS | st.text(max_size=12), st.lists(VALUES, min_size=1, max_size=3))
def test_any_sweep_is_refused_or_judged_and_never_fails(pointer, values):
    try:
        found = tried(sweep={"pointer": pointer, "values": values})
    except Refusal:
        return
    assert len(found["variants"]) == len(values)


@pytest.mark.parametrize(
    "request_", [{}, {"patch": [], "sweep": {}}, {"sweep": {"pointer": "/a"}}, {"sweep": {"pointer": 1, "values": [1]}}]
)
def test_a_request_of_another_form_is_refused(request_):
    with pytest.raises(Refusal):
        tried(**request_)


@pytest.mark.parametrize(
    "patch,says",
    [
        ([{"op": "remove", "path": "/no/such"}], "remove at /no/such: there is no such place in the proposal"),
        ([{"op": "replace", "path": "/panelboard/circuits/99/poles", "value": 1}], "replace at /panelboard/circuits/99/poles"),
        ([{"op": "test", "path": "/changeout", "value": 2}], "the test of /changeout failed"),
        ([{"op": "replace", "path": "/changeout"}], "replace at /changeout lacks its value or its from"),
        ([{"op": "enlarge", "path": "/changeout"}], "each operation has an op (add, remove"),
        ([3], "each operation has an op (add, remove"),
    ],
)  # fmt: skip
def test_why_a_patch_cannot_be_applied_is_said_with_its_place(patch, says):
    with pytest.raises(Refusal) as caught:
        patched(json.loads(SERVICE.example("dwelling-service")), patch, "/patch")
    assert says in caught.value.errors[0].detail
