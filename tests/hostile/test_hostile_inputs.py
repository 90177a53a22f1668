"""Every request of the corpus: refused or judged as documented, never a fault, and nothing is grown out of it."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hostile_inputs import MOST, WHOLE, changed, corpus
from hypothesis import given, settings
from hypothesis import strategies as st

from changeout.domain.problems import PROBLEMS
from changeout.web.app import create_app
from changeout.web.settings import Settings

CORPUS = corpus()
MEMORY_KIB = 160 * 1024
"""How much more than for normal requests a process may ever take; a container is given 512 MiB."""


@pytest.fixture(scope="module")
def client():
    return create_app(Settings(patience_s=60)).test_client()


def posted(client, one):
    headers = {"Content-Type": "application/json", **one.headers}
    return client.post(one.path, data=one.body, headers=headers)


def test_there_are_enough_of_them():
    assert len(CORPUS) >= 200
    assert len({one.body + repr((one.path, one.headers)).encode() for one in CORPUS}) >= 200


@pytest.mark.parametrize("one", CORPUS, ids=lambda one: re.sub(r"[^\w ]", "?", one.name))
def test_it_is_answered_as_documented(client, one):
    response = posted(client, one)
    assert response.status_code in one.statuses, response.text[:300]
    if response.status_code != 200:
        problem = response.json
        assert response.content_type == "application/problem+json"
        assert problem["code"] in one.codes, problem["code"]
        assert problem["status"] == PROBLEMS[problem["code"]].status == response.status_code
        # As many errors as are worth reading, and no flood of what was sent.
        assert len(problem.get("errors", [])) <= 100
        assert len(response.data) <= 120_000
    assert response.headers["X-Content-Type-Options"] == "nosniff"


MEASURED = """
import resource, sys
sys.path[:0] = [{folder!r}]
from hostile_inputs import WHOLE, corpus
from changeout.web.app import create_app
from changeout.web.settings import Settings

client = create_app(Settings(patience_s=60)).test_client()
requests = [one for one in corpus() if len(one.body) > 10_000]
for _ in range(3):
    client.post("/v1/validations", data=WHOLE, content_type="application/json")
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
for one in requests:
    client.post(one.path, data=one.body, headers={{"Content-Type": "application/json", **one.headers}})
print(before, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def test_memory_stays_bounded_through_all_of_them():
    done = subprocess.run(
        [sys.executable, "-c", MEASURED.format(folder=str(Path(__file__).parent))],
        capture_output=True,
        text=True,
        check=True,
    )
    before, after = (int(number) for number in done.stdout.split())
    assert after - before <= MEMORY_KIB


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=40),
    lambda inner: st.lists(inner, max_size=6) | st.dictionaries(st.text(max_size=12), inner, max_size=6),
    max_leaves=30,
)


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(body=st.binary(max_size=400))
def test_any_bytes(client, body):
    assert posted_bytes(client, body) in {400, 422}


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(value=JSON_VALUES)
def test_any_json(client, value):
    assert posted_bytes(client, json.dumps(value).encode()) in {400, 422}


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(place=st.integers(0, len(WHOLE)), cut=st.integers(0, 12), put=st.binary(max_size=12))
def test_a_proposal_with_some_bytes_exchanged(client, place, cut, put):
    assert posted_bytes(client, WHOLE[:place] + put + WHOLE[place + cut :]) in {200, 400, 422}


POINTERS = [
    "/" + "/".join(way)
    for way in (
        ("panelboard",), ("panelboard", "main"), ("supply",), ("supply", "source"), ("enclosure",), ("location",),
        ("load",), ("grounding",), ("service",), ("work",), ("project",), ("documents",), ("generation",), ("waivers",),
        ("panelboard", "circuits"), ("supply", "runs"), ("supply", "source", "rating"), ("panelboard", "busbar_rating"),
    )
]  # fmt: skip


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(pointer=st.sampled_from(POINTERS), value=JSON_VALUES)
def test_any_value_anywhere(client, pointer, value):
    assert posted_bytes(client, json.dumps(changed(pointer, value)).encode()) in {200, 400, 422}


def posted_bytes(client, body):
    response = client.post("/v1/validations?detail=findings", data=body, content_type="application/json")
    assert len(body) <= MOST
    if response.status_code != 200:
        assert response.json["code"] in PROBLEMS
    return response.status_code
