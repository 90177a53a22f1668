"""A threshold as a sentence. Source of the spellings: the SI brochure, section 5.4 (°C, powers as superscripts)."""

import pytest

from changeout.domain.findings import Outcome, Threshold
from changeout.intake.naming import ProposalMembers
from changeout.review.threshold_words import threshold_in_words


def said(pointer, value, unit, relation, outcome=Outcome.SATISFIED):
    threshold = Threshold(relation=relation, value=value, unit=unit, outcome=outcome, rule="any-rule")
    return threshold_in_words(threshold, pointer, ProposalMembers())


@pytest.mark.parametrize(
    "pointer, value, unit, relation, sentence",
    [
        ("/supply/runs/0/ambient_temperature", 45.0, "degC", "<=", "It passes up to 45 °C."),
        ("/load/floor_area", 1500.0, "ft2", "<=", "It passes up to 1,500 ft²."),
        ("/supply/source/impedance_percent", 3.4725, "percent", ">=", "It passes from 3.473 % upward."),
        ("/panelboard/marked_maximum_poles", 12.0, "count", ">=", "It passes from 12 upward."),
        # on its limit and in both directions: rounded to the side on which the answer holds
        ("/supply/runs/0/ambient_temperature", 45.00001, "degC", ">=", "It passes from 45.01 °C upward."),
        ("/supply/runs/0/ambient_temperature", 45.00999, "degC", "<=", "It passes up to 45 °C."),
    ],
)
def test_units_and_rounding(pointer, value, unit, relation, sentence):
    assert said(pointer, value, unit, relation) == sentence


@pytest.mark.parametrize(
    "outcome, begins",
    [
        (Outcome.SATISFIED, "It passes"),
        (Outcome.VIOLATION, "It fails"),
        (Outcome.NOT_APPLICABLE, "It is not asked any more"),
        (Outcome.ADVISORY, "It is advisory"),
    ],
)
def test_what_it_becomes(outcome, begins):
    assert said("/panelboard/marked_maximum_poles", 12.0, "count", ">=", outcome) == f"{begins} from 12 upward."
