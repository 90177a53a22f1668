"""Digests are of the form of RFC 8785. Source of every expected digest: the ``rfc8785`` library, and the RFC itself."""

import hashlib
import json
from pathlib import Path

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from changeout.intake.read import read_proposal
from changeout.review.ruleset import digest_of

PROPOSALS = [
    path for path in sorted((Path(__file__).parents[2] / "fixtures/proposals").glob("*.json")) if "." not in path.stem
]

SAFE = 2**53 - 1
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-SAFE, SAFE) | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=12,
)


def by_the_library(value):
    return "sha256:" + hashlib.sha256(rfc8785.dumps(value)).hexdigest()


@given(VALUES)
def test_any_value_has_the_digest_of_the_library(value):
    assert digest_of(value) == by_the_library(value)


@pytest.mark.parametrize(
    "value, written",
    [
        # RFC 8785, section 3.2.2 and its sample of section 3.2.4
        (
            [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
            "[333333333.3333333,1e+30,4.5,0.002,1e-27]",
        ),
        ({"literals": [None, True, False]}, '{"literals":[null,true,false]}'),
        # appendix B: zero without sign, the least and the largest double
        ([-0.0, 5e-324, 1.7976931348623157e308], "[0,5e-324,1.7976931348623157e+308]"),
        ([9007199254740991, 1e21, 999999999999999900000.0], "[9007199254740991,1e+21,999999999999999900000]"),
        # numbers that Python writes otherwise, each alone
        ([1e-6], "[0.000001]"),
        ([1e-7], "[1e-7]"),
        ([123456789012345680000.0], "[123456789012345680000]"),
        ([10.0], "[10]"),
        # section 3.2.3: names sorted by UTF-16 code units; U+1F600 comes before U+FB33
        ({"\ufb33": 1, "\U0001f600": 2}, '{"\U0001f600":2,"\ufb33":1}'),
        ({"b": "1.0", "a": "2e-05"}, '{"a":"2e-05","b":"1.0"}'),
        ({"tab": '\t\x0f\x7f"\\/'}, '{"tab":"\\t\\u000f\x7f\\"\\\\/"}'),
    ],
)
def test_written_as_the_standard_says(value, written):
    assert digest_of(value) == "sha256:" + hashlib.sha256(written.encode()).hexdigest()


@pytest.mark.parametrize("path", PROPOSALS, ids=lambda path: path.stem)
def test_what_decisions_rest_on(path):
    canonical = read_proposal(path.read_bytes(), edition_chosen=True).canonical
    assert digest_of(canonical) == by_the_library(canonical)
    assert digest_of(json.loads(json.dumps(canonical))) == digest_of(canonical)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), [-float("inf")]])
def test_what_json_cannot_hold_has_none(value):
    with pytest.raises(ValueError, match="not JSON compliant"):
        digest_of(value)
