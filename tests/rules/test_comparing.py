"""The comparisons that all rules go through: where the limit lies, what is unknown, and how an answer is put together."""

import math

import pytest

from changeout.domain.facts import Claim, Measurement, fixed
from changeout.domain.findings import Advice, Basis, Judgement
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.rules._compare import (
    ROUNDING,
    Notes,
    Quantity,
    advise,
    amount,
    arranged,
    at_least,
    at_most,
    bare,
    decide,
    exceeds,
    not_applicable,
    reaches,
    sentence,
    spread,
    under,
    within,
)

YES, NO = Claim(Truth.YES, ("/a",)), Claim(Truth.NO, ("/a",))
OPEN = Claim(Truth.UNKNOWN, ("/a",), ("/a",))


def stated(low, high=None):
    return Measurement(Interval(low, low if high is None else high))


def computed(low, high=None, missing=()):
    return Measurement(Interval(low, low if high is None else high), ("/x",), missing, "load")


@pytest.mark.parametrize(
    ("found", "limit", "truth"),
    [
        (stated(36), 36, Truth.YES),
        (stated(35.9999999999), 36, Truth.NO),
        (stated(36, 40), 36, Truth.YES),
        (stated(35, 40), 36, Truth.UNKNOWN),
        (stated(30, 36), 36, Truth.UNKNOWN),
        (stated(30, 35), 36, Truth.NO),
        (stated(30, 35), stated(35, 40), Truth.UNKNOWN),
        (stated(40, 45), stated(35, 40), Truth.YES),
        (computed(36 * (1 - ROUNDING / 2)), 36, Truth.YES),
        (computed(36 * (1 - 2 * ROUNDING)), 36, Truth.NO),
        (stated(36 * (1 - ROUNDING / 2)), 36, Truth.NO),
    ],
)
def test_reaching_a_limit(found, limit, truth):
    assert reaches(found, limit).truth is truth


@pytest.mark.parametrize(
    ("found", "limit", "over"),
    [(stated(36), 36, Truth.NO), (stated(36.1), 36, Truth.YES), (stated(30, 37), 36, Truth.UNKNOWN)],
)
def test_being_over_a_limit_and_within_it(found, limit, over):
    assert exceeds(found, limit).truth is over
    assert exceeds(found, fixed(limit)).truth is over
    assert within(found, limit).truth is {Truth.NO: Truth.YES, Truth.YES: Truth.NO}.get(over, over)


def test_what_is_open_names_what_would_settle_both_sides():
    claim = reaches(computed(1, 3, ("/m",)), Measurement(Interval(2, 4), ("/y",), ("/n",)))
    assert claim == Claim(Truth.UNKNOWN, ("/x", "/y"), ("/m", "/n"))
    assert reaches(computed(9, 9), 2) == Claim(Truth.YES, ("/x",))
    assert reaches(computed(1, 1), 2) == Claim(Truth.NO, ("/x",))


def test_an_answer_of_a_comparison_is_whole():
    answer = at_least(Quantity(name="depth", number=stated(35)), Quantity(name="need", number=stated(36)), "in")
    assert answer.judgement is Judgement.FAILS
    assert answer.message == "The depth (35 in) is less than the need (36 in)."
    assert (answer.found.name, answer.found.low, answer.found.high, answer.found.unit) == ("depth", 35, 35, "in")
    assert answer.found.relation is None
    assert (answer.required.name, answer.required.low, answer.required.relation) == ("need", 36, ">=")
    assert answer.required.unit == "in"
    assert answer.basis is Basis.DECLARED
    assert answer.calculation is None
    assert answer.remedies == ()


def test_a_comparison_with_a_calculation_is_computed():
    answer = at_most(Quantity(name="load", number=computed(90)), Quantity(name="rating", number=stated(100)), "A")
    assert answer.judgement is Judgement.HOLDS
    assert answer.message == "The load (90 A) is no more than the rating (100 A)."
    assert answer.required.relation == "<="
    assert answer.basis is Basis.COMPUTED
    assert answer.calculation == "load"
    over = at_most(Quantity(name="load", number=computed(110)), Quantity(name="rating", number=stated(100)), "A")
    assert over.message == "The load (110 A) is more than the rating (100 A)."
    reached = at_least(Quantity(name="rating", number=stated(100)), Quantity(name="load", number=computed(90)), "A")
    assert reached.message == "The rating (100 A) is at least the load (90 A)."
    assert reached.calculation == "load"


def test_a_comparison_that_is_open_says_so():
    answer = at_least(
        Quantity(name="depth", number=computed(30, 40, ("/m",))),
        Quantity(name="need", number=stated(36)),
        "in",
        Notes(remedy="move", basis=Basis.DOCUMENTED),
    )
    assert answer.judgement is Judgement.UNKNOWN
    assert answer.missing == ("/m",)
    assert answer.remedies == ()
    assert answer.basis is Basis.DOCUMENTED
    assert answer.message == (
        "Whether the depth (between 30 in and 40 in) is at least the need (36 in) cannot be told from what is stated."
    )


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (10000, "A", "10,000 A"),
        (999.5, "A", "999.5 A"),
        (1000.4, "A", "1,000 A"),
        (36, "in", "36 in"),
        (0.25, "in", "0.25 in"),
        (-1000.4, "A", "-1,000 A"),
        (3, "", "3"),
        (80, "percent", "80%"),
        (30, "degC", "30 °C"),
        (math.inf, "A", "any number of A"),
    ],
)
def test_a_number_is_written_as_a_person_does(value, unit, text):
    assert amount(value, unit) == text


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (stated(5), "5 A"),
        (stated(5, math.inf), "5 A or more"),
        (stated(0, math.inf), "unknown"),
        (stated(0, 5), "at most 5 A"),
        (stated(1, 5), "between 1 A and 5 A"),
        (stated(0.5, math.inf), "0.5 A or more"),
    ],
)
def test_a_range_is_written_as_a_person_does(number, text):
    assert spread(number, "A") == text


@pytest.mark.parametrize(
    ("claim", "judgement", "text", "remedies"),
    [
        (YES, Judgement.HOLDS, "It is.", 0),
        (NO, Judgement.FAILS, "It is not.", 1),
        (OPEN, Judgement.UNKNOWN, "Not stated: whether it is.", 0),
    ],
)
def test_a_claim_decides(claim, judgement, text, remedies):
    notes = Notes(subject="/s", remedy="mend it", cautions=["Mind."], advice=Advice.READING)
    answer = decide(claim, yes="It is", no="it is not", notes=notes)
    assert (answer.judgement, answer.message) == (judgement, text)
    assert [r.text for r in answer.remedies] == ["Mend it."] * remedies
    assert (answer.subject, answer.cautions, answer.advice) == ("/s", ("Mind.",), Advice.READING)
    assert answer.inputs == ("/a",)
    assert answer.missing == claim.missing
    assert (
        decide(claim, yes="a", no="b", unknown="open?").message
        == {
            Judgement.HOLDS: "A.",
            Judgement.FAILS: "B.",
            Judgement.UNKNOWN: "Open?",
        }[judgement]
    )


def test_a_sentence_ends_once():
    assert [sentence(t) for t in ("a", "b.", "c?", "d!", "ÉÉ")] == ["A.", "B.", "C?", "D!", "ÉÉ."]


def test_what_does_not_apply_says_why():
    answer = not_applicable("no lamp", NO, subject="/s")
    assert (answer.judgement, answer.message) == (Judgement.NOT_APPLICABLE, "No lamp.")
    assert (answer.subject, answer.inputs) == ("/s", ("/a",))


def test_advice_is_practice_unless_said_otherwise():
    answer = advise("look", YES, notes=Notes(subject="/s", remedy="do", cautions=["Mind."]), missing=["/m"])
    assert (answer.judgement, answer.message) == (Judgement.ADVISED, "Look.")
    assert (answer.subject, answer.inputs, answer.missing) == ("/s", ("/a",), ("/m",))
    assert ([r.text for r in answer.remedies], answer.cautions) == (["Do."], ("Mind.",))
    assert (answer.advice, answer.basis) == (Advice.PRACTICE, Basis.DECLARED)
    other = advise("look", notes=Notes(advice=Advice.READING, basis=Basis.COMPUTED))
    assert (other.advice, other.basis, other.remedies) == (Advice.READING, Basis.COMPUTED, ())


def test_what_is_arranged_has_its_condition():
    answer = arranged("it will", "do it", YES, notes=Notes(subject="/s", remedy="do", cautions=["Mind."]))
    assert (answer.judgement, answer.message, answer.condition) == (Judgement.ARRANGED, "It will.", "Do it.")
    assert (answer.subject, answer.inputs, answer.cautions) == ("/s", ("/a",), ("Mind.",))
    assert [r.text for r in answer.remedies] == ["Do."]
    assert arranged("it will", "do it").remedies == ()


B = Claim(Truth.UNKNOWN, ("/b",), ("/b",))


@pytest.mark.parametrize(
    ("trigger", "answered", "judgement", "missing"),
    [
        (YES, Claim(Truth.YES, ("/b",)), Judgement.HOLDS, ()),
        (YES, Claim(Truth.NO, ("/b",)), Judgement.FAILS, ()),
        (YES, B, Judgement.UNKNOWN, ("/b",)),
        (NO, Claim(Truth.NO, ("/b",)), Judgement.NOT_APPLICABLE, ()),
        (NO, B, Judgement.NOT_APPLICABLE, ()),
        (OPEN, Claim(Truth.YES, ("/b",)), Judgement.HOLDS, ()),
        (OPEN, Claim(Truth.NO, ("/b",)), Judgement.UNKNOWN, ("/a",)),
        (OPEN, B, Judgement.UNKNOWN, ("/a", "/b")),
    ],
)
def test_a_requirement_under_a_condition(trigger, answered, judgement, missing):
    answer = decide(answered, yes="it is", no="it is not", unknown="who knows", notes=Notes(subject="/s"))
    joined = under(trigger, answer, otherwise="no lamp")
    assert (joined.judgement, joined.missing, joined.subject) == (judgement, missing, "/s")
    assert joined.inputs == (("/a",) if trigger.fails else ("/a", "/b"))


def test_what_is_only_arranged_has_no_condition_where_it_may_not_be_asked():
    answer = arranged("it will", "do it")
    assert under(OPEN, answer, otherwise="no").condition is None
    assert under(OPEN, answer, otherwise="no").judgement is Judgement.UNKNOWN
    assert under(YES, answer, otherwise="no").condition == "Do it."
    assert under(OPEN, answer, otherwise="no").message == (
        "Whether this is asked here cannot be told from what is stated; if it is, it will."
    )


def test_texts_are_compared_bare():
    assert bare("  Kitchen,  North (2) ") == "kitchen north 2"
