"""A report as text: what is rare in the examples, and numbers as a person reads them."""

import dataclasses
import json
import math
import re

import pytest

from changeout.application.judgement import judge
from changeout.application.service import Service
from changeout.domain.findings import Advice, Figure, Outcome
from changeout.render.figures import figure_text, number_text
from changeout.render.finding_card import AT_INSPECTION
from changeout.render.html import report_html
from changeout.render.markdown import report_markdown
from changeout.render.report_json import report_object
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


# A plain house, and what is listed of it

SEEN_ON_SITE = (
    ("enclosure", "unused_openings_closed"),
    ("panelboard", "marking_visible"),
    ("location", "dedicated_space_clear"),
    ("location", "working_space", "floor_clear_and_flat"),
    ("location", "highest_handle"),
    ("panelboard", "neutral_terminals"),
    ("grounding", "piping_bonded"),
    ("grounding", "equipment_terminal_bar"),
    ("panelboard", "conductors_identified"),
)
LETTER_PAGE_LINES = 66


@pytest.fixture(scope="module")
def plain_house():
    """The judgement of a house that conforms, of which nine things that only a visit shows are not stated."""
    document = json.loads(SERVICE.example("dwelling-service"))
    for *above, name in SEEN_ON_SITE:
        holder = document
        for part in above:
            holder = holder[part]
        del holder[name]
    return judge(SERVICE, json.dumps(document).encode())


def section_of(text, title):
    return next(part for part in text.split("\n\n") if part.startswith(title))


def test_the_headline_says_verdict_and_what_is_left_to_the_inspection(plain_house):
    headline = "Conforms as proposed, 9 items to be seen at inspection."
    report = plain_house.report
    assert report.headline == headline
    assert report_object(report)["headline"] == headline
    assert report_text(report, colour=False).splitlines()[1] == headline
    assert f"**{headline}**" in report_markdown(report)
    assert f'<p class="lead">{headline}</p>' in report_html(report)


def test_a_plain_house_reads_on_one_page(plain_house):
    text = report_text(plain_house.report, plain_house.read.proposal, colour=False, file="house.json")
    assert text.count("\n") <= 60 < LETTER_PAGE_LINES
    assert max(map(len, text.splitlines())) <= 100


def test_inspection_items_are_a_checklist(plain_house):
    part = section_of(report_text(plain_house.report, colour=False), "To be seen at inspection (9)")
    assert part.count("[ ]") == 9
    assert "ADVISORY (inspection)" not in part


def test_everything_is_listed_on_demand(plain_house):
    report = plain_house.report
    text = " ".join(report_text(report, colour=False, everything=True).split())
    for one in report.findings:
        assert one.rule in text
        assert " ".join(one.message.split()) in text, one.rule


def test_what_does_not_apply_is_listed_by_reason(plain_house):
    part = section_of(report_text(plain_house.report, colour=False, everything=True), "Does not apply (")
    reasons = {f.message for f in plain_house.report.findings if f.outcome is Outcome.NOT_APPLICABLE}
    assert sum(line.startswith("  - ") for line in part.splitlines()) == len(reasons)


def test_findings_of_one_rule_are_one_entry_with_all_places():
    report = judge(SERVICE, SERVICE.example("half-known-dwelling")).report
    text = report_text(report, colour=False)
    rules = [f.rule for f in report.findings if f.outcome is Outcome.UNDETERMINED]
    assert len(rules) > len(set(rules)) == text.count("\nUNDETERMINED ")
    asked = section_of(text, "Questions")
    assert asked.count("Conductor size?") == 1
    for question in report.questions:
        assert question.pointer in asked


def test_circuits_go_by_their_numbers_where_the_proposal_is_at_hand():
    judged = judge(SERVICE, SERVICE.example("half-known-dwelling"))
    text = report_text(judged.report, judged.read.proposal, colour=False)
    assert "circuits 1, 2, 5, 6, 7, 8, 9, 10, 11" in text
    assert "/panelboard/circuits/3" not in text


def test_the_order_is_corrections_questions_conditions_and_advice():
    document = json.loads(SERVICE.example("half-known-dwelling"))
    document["panelboard"]["busbar_rating"] = "100 A"
    document["enclosure"]["former_listing_marks"] = "to-be-removed"
    text = report_text(SERVICE.validate(json.dumps(document).encode()), colour=False)
    heads = ("\nVIOLATION ", "\nQuestions", "\nUNDETERMINED ", "\nConditions", "\nADVISORY ", "\nTo be seen at")
    places = [text.index(head) for head in heads]
    assert places == sorted(places)


def test_the_beginning_that_a_checklist_leaves_out_is_the_one_that_messages_have(plain_house):
    seen = [f for f in plain_house.report.findings if f.advice is Advice.INSPECTION]
    assert len(seen) == 9
    assert all(f.message.startswith(AT_INSPECTION) for f in seen)
    assert AT_INSPECTION not in report_markdown(plain_house.report)
