"""Reports as HTML: valid, alone, readable by everybody, in the order in which a reviewer reads."""

import base64
import dataclasses
import hashlib
import itertools
import re

import pytest

from changeout.application.service import Service
from changeout.domain.findings import Outcome
from changeout.intake.read import read_proposal
from changeout.render.html import report_html
from changeout.render.page_html import style, style_hash
from render.reading import elements, html_tree, tag, text_of
from render.sample_report import every_finding, finding, report_of, whole_report

SERVICE = Service.load()
EXAMPLES = ("dwelling-service", "half-known-dwelling", "office-behind-transformer")


@pytest.fixture(scope="module", params=EXAMPLES)
def page(request):
    read = read_proposal(SERVICE.example(request.param))
    return report_html(SERVICE.report_on(read), read.proposal)


@pytest.fixture(scope="module")
def sample():
    return report_html(whole_report())


def test_a_page_has_no_parse_error(page):
    html_tree(page)


def test_a_page_asks_for_nothing_from_elsewhere(page):
    for element in elements(html_tree(page)):
        assert tag(element) not in {"script", "link", "img", "iframe", "object", "embed", "form", "a", "base"}
        for name, value in element.attrib.items():
            assert not name.startswith("on")
            assert name not in {"src", "href", "style"}, value
    assert "url(" not in style()
    assert "@import" not in style()


def test_the_style_is_inline_and_its_hash_is_what_a_policy_needs(sample):
    inline = re.search(r"<style>(.*?)</style>", sample, re.DOTALL)[1]
    digest = base64.b64encode(hashlib.sha256(inline.encode()).digest()).decode()
    assert style_hash() == f"'sha256-{digest}'"


def test_the_style_can_be_elsewhere():
    page = report_html(whole_report(), style_address="/assets/page.css")
    assert "<style>" not in page
    assert '<link rel="stylesheet" href="/assets/page.css">' in page


def test_ids_are_unique_and_those_referred_to_are_there(page):
    tree = html_tree(page)
    ids = [e.attrib["id"] for e in elements(tree) if "id" in e.attrib]
    assert len(ids) == len(set(ids))
    for element in elements(tree):
        for name in element.attrib.get("aria-labelledby", "").split():
            assert name in ids


def test_headings_step_down_one_level_at_a_time(page):
    levels = [int(tag(e)[1]) for e in elements(html_tree(page)) if re.fullmatch("h[1-6]", tag(e))]
    assert levels[0] == 1
    assert levels.count(1) == 1
    for before, after in itertools.pairwise(levels):
        assert after <= before + 1


def test_a_page_has_language_title_and_landmarks(page):
    tree = html_tree(page)
    assert tree.attrib["lang"] == "en"
    names = [tag(e) for e in elements(tree)]
    assert names.count("main") == 1
    assert names.count("footer") == 1
    title = next(text_of(e) for e in elements(tree) if tag(e) == "title")
    assert title


def test_every_table_has_headed_columns(page):
    for table in (e for e in elements(html_tree(page)) if tag(e) == "table"):
        heads = [e for e in elements(table) if tag(e) == "th" and e.attrib.get("scope") == "col"]
        assert heads
        assert all(e.attrib.get("scope") in {"col", "row"} for e in elements(table) if tag(e) == "th")


def test_every_picture_says_in_words_what_it_shows(page):
    pictures = [e for e in elements(html_tree(page)) if tag(e) == "svg"]
    assert len(pictures) == 4
    for picture in pictures:
        assert picture.attrib["role"] == "img"
        assert text_of(next(e for e in elements(picture) if tag(e) == "title"))
        assert text_of(next(e for e in elements(picture) if tag(e) == "desc"))


def test_a_page_without_the_proposal_has_no_pictures(sample):
    assert "<svg" not in sample


def test_the_page_reads_in_the_order_of_use(sample):
    heads = [text_of(e) for e in elements(html_tree(sample)) if tag(e) == "h2"]
    assert heads == [
        "Corrections",
        "Violations that a waiver sets aside",
        "Questions, the most useful first",
        "What cannot be told yet",
        "Conditions, before the equipment is energized",
        "Close to the limit",
        "Further advice",
        "To be seen at inspection (1)",
        "Cautions",
        "Does not apply (3)",
        "Satisfied (1)",
        "Calculation: available fault current at the panelboard",
    ]


def test_what_is_there_to_be_looked_up_is_folded_away(sample):
    folded = [e for e in elements(html_tree(sample)) if tag(e) == "details"]
    heads = {text_of(next(e for e in elements(one) if tag(e) == "h2")): "open" in one.attrib for one in folded}
    assert heads == {
        "To be seen at inspection (1)": True,
        "Does not apply (3)": False,
        "Satisfied (1)": False,
        "Calculation: available fault current at the panelboard": False,
    }


def test_every_message_and_every_standing_sentence_is_on_the_page(sample):
    text = text_of(html_tree(sample))
    for one in every_finding():
        if one.outcome is not Outcome.SATISFIED:
            assert one.message in text, one.rule
    for words in ("A standing caution.", "The authority having jurisdiction decides.", "Without the waivers"):
        assert (words in text) == (words != "Without the waivers")


def test_a_verdict_that_a_waiver_changed_is_said_both_ways():
    waived = [one for one in every_finding() if one.waived]
    text = text_of(html_tree(report_html(report_of(waived))))
    assert "Without the waivers: does not conform." in text
    assert "Waived by authority having jurisdiction, until 2026-12-31: Replaced within the month" in text


def test_not_applicable_is_gathered_by_its_reason(sample):
    assert sample.count("The panelboard is fully rated.") == 1


def test_findings_of_one_rule_share_a_card(sample):
    assert sample.count("Whether the breaker is good for it cannot be told.") == 1
    assert "circuits at entries 1, 2" in sample


def test_violations_of_one_rule_with_other_words_are_told_one_by_one():
    found = [
        finding(
            "branch", Outcome.VIOLATION, f"The breaker of {number} A is too small.", f"/panelboard/circuits/{place}"
        )
        for place, number in enumerate((15, 20))
    ]
    text = text_of(html_tree(report_html(report_of(found))))
    assert "Circuit at entry 1: The breaker of 15 A is too small." in text
    assert "Circuit at entry 2: The breaker of 20 A is too small." in text


def test_a_report_without_detail_has_no_empty_parts():
    short = dataclasses.replace(whole_report(), questions=(), calculations=(), detail="findings")
    heads = [text_of(e) for e in elements(html_tree(report_html(short))) if tag(e) == "h2"]
    assert not [head for head in heads if head.startswith(("Questions", "Calculation"))]
