"""A report as text: what is rare in the examples, and numbers as a person reads them."""

import dataclasses
import json
import math
import re

import pytest

from changeout.application.service import Service
from changeout.domain.findings import Figure, Outcome
from changeout.render.figures import figure_text, number_text
from changeout.render.text import plain, report_text

SERVICE = Service.load()


@pytest.fixture(scope="module")
def report():
    document = json.loads(SERVICE.example("dwelling-service"))
    document["panelboard"]["short_circuit_rating"] = "1 kA"
    return SERVICE.validate(json.dumps(document).encode())


@pytest.mark.parametrize(
    "value, expected",
    [
        (0, "0"),
        (0.0, "0"),
        (36.0, "36"),
        (35.9, "35.9"),
        (0.0291840, "0.029184"),
        (10000.0, "10,000"),
        (199.999, "199.999"),
        (14210.37, "14,210.4"),
        (1234567.8, "1,234,568"),
        (0.00000125, "0.00000125"),
        (-12.5, "-12.5"),
        (math.inf, "no known bound"),
    ],
)
def test_a_number_is_set_without_exponent(value, expected):
    assert number_text(value) == expected


@pytest.mark.parametrize(
    "figure, expected",
    [
        (Figure(name="n", low=10.0, high=10.0, unit="A"), "10 A"),
        (Figure(name="n", low=10.0, high=20.5, unit="A"), "10 to 20.5 A"),
        (Figure(name="n", low=10.0, high=math.inf, unit="A"), "10 A or more"),
        (Figure(name="n", text="corroded"), "corroded"),
        (Figure(name="n"), "unknown"),
        (Figure(name="n", low=3.0, high=3.0), "3"),
    ],
)
def test_a_figure_is_a_number_a_range_or_a_word(figure, expected):
    assert figure_text(figure) == expected


def test_what_could_steer_a_terminal_is_spelled_out():
    assert plain("a\x1b[2Jb\u202ec\n\u2028d é °") == "a\\u001b[2Jb\\u202ec\\u000a\\u2028d é °"


def test_a_waiver_hides_nothing(report):
    waived = dataclasses.replace(
        report,
        verdict="conforms",
        verdict_before_waivers="violations",
        findings=[
            dataclasses.replace(finding, waived={"reason": "granted"})
            if finding.outcome is Outcome.VIOLATION
            else finding
            for finding in report.findings
        ],
    )
    text = report_text(waived, colour=False)
    assert text.startswith("CONFORMS under edition 2023")
    assert "Without the waivers: violations." in text
    assert "VIOLATION (waived)" in text


def test_a_preview_edition_says_so(report):
    preview = dataclasses.replace(report, ruleset=dataclasses.replace(report.ruleset, preview=True))
    assert "is a preview" in report_text(preview, colour=False)
    assert "is a preview" not in report_text(report, colour=False)


def test_places_are_given_where_they_are_known(report):
    text = report_text(
        report, colour=False, locate=lambda pointer: (7, 3) if pointer == "/panelboard" else None, file="f"
    )
    assert "/panelboard (f:7:3)" in text
    assert "/panelboard/main (f:" not in text


def test_colours_change_nothing_but_colours(report):
    coloured = report_text(report, colour=True)
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured).split() == report_text(report, colour=False).split()
