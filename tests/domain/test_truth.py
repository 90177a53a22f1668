"""Three-valued logic: Kleene's strong tables (S. C. Kleene, Introduction to Metamathematics, 1952, section 64)."""

import itertools

import pytest

from changeout.domain.facts import Claim, Flag, Number, all_claims, any_claim, certain, greatest_of, least_of
from changeout.domain.truth import Truth, all_of, any_of, negate

YES, NO, UNKNOWN = Truth.YES, Truth.NO, Truth.UNKNOWN
BOTH = {
    (YES, YES): YES, (YES, NO): NO, (YES, UNKNOWN): UNKNOWN,
    (NO, YES): NO, (NO, NO): NO, (NO, UNKNOWN): NO,
    (UNKNOWN, YES): UNKNOWN, (UNKNOWN, NO): NO, (UNKNOWN, UNKNOWN): UNKNOWN,
}  # fmt: skip


@pytest.mark.parametrize("pair", BOTH, ids=str)
def test_conjunction_and_disjunction_follow_the_tables(pair):
    assert all_of(pair) is BOTH[pair]
    assert any_of(pair) is negate(BOTH[negate(pair[0]), negate(pair[1])])


def test_of_nothing():
    assert all_of(()) is YES
    assert any_of(()) is NO


@pytest.mark.parametrize("value", [YES, NO, UNKNOWN])
def test_a_truth_and_a_claim_refuse_to_be_a_bool(value):
    with pytest.raises(TypeError, match="not a bool"):
        bool(value)
    with pytest.raises(TypeError, match="not a bool"):
        bool(Claim(value))


@pytest.mark.parametrize("first,second", list(itertools.product(Truth, repeat=2)))
def test_claims_agree_with_truths_and_name_only_what_would_settle_them(first, second):
    a = Flag("/a", first).claim
    b = Flag("/b", second).claim
    assert (a & b).truth is all_of((first, second))
    assert (a | b).truth is any_of((first, second))
    assert (a & b).inputs == ("/a", "/b")
    for joined in (a & b, a | b, all_claims((a, b)), any_claim((a, b))):
        unknown = {p for p, t in (("/a", first), ("/b", second)) if t is UNKNOWN}
        assert set(joined.missing) == (unknown if joined.truth is UNKNOWN else set())


def test_a_certain_claim_rests_on_its_facts():
    known = bool(1)
    assert certain(known, Flag("/a", YES)) == Claim(YES, ("/a",))


def test_extremes_of_numbers_name_what_is_missing_only_where_it_matters():
    known, unknown = Number("/k", 5.0, 5.0, 5.0), Number("/u", 0.0, 9.0)
    assert greatest_of(known, unknown).missing == ("/u",)
    assert (least_of(known, unknown).low, least_of(known, unknown).high) == (0.0, 5.0)
    assert least_of(known, Number("/z", 5.0, 5.0, 5.0)).missing == ()
