"""A report by media type."""

import json

import pytest

from changeout.application.judgement import judge
from changeout.application.reports import NAMELESS, REPORT_FORMS
from changeout.application.service import Service
from changeout.domain.problems import Refusal

SERVICE = Service.load()
MEDIA_TYPES = (
    "application/json",
    "application/sarif+json",
    "application/junit+xml",
    "text/markdown",
    "text/html",
    "text/plain",
)


def test_all_forms_are_there_and_json_is_first():
    assert set(REPORT_FORMS) == set(MEDIA_TYPES)
    assert next(iter(REPORT_FORMS)) == "application/json"


@pytest.mark.parametrize("media_type", MEDIA_TYPES)
@pytest.mark.parametrize("detail", ["full", "findings"])
def test_a_form_is_the_same_bytes_each_time_and_utf_8(media_type, detail):
    one = judge(SERVICE, SERVICE.example("half-known-dwelling"), detail=detail)
    content = REPORT_FORMS[media_type](one)
    assert content == REPORT_FORMS[media_type](one)
    assert content.decode("utf-8")


def test_the_edition_can_be_chosen():
    one = judge(SERVICE, SERVICE.example("dwelling-service"), edition="2020")
    assert one.report.ruleset.edition == "2020"
    assert json.loads(REPORT_FORMS["application/json"](one))["project"]["edition"] == "2020"


def test_a_file_without_a_name_has_one_in_sarif():
    one = judge(SERVICE, SERVICE.example("dwelling-service"))
    assert NAMELESS in REPORT_FORMS["application/sarif+json"](one).decode()
    assert one.located(NAMELESS).locate("/project").line > 1


def test_what_cannot_be_read_is_refused():
    with pytest.raises(Refusal):
        judge(SERVICE, b"{}")


def test_rule_words_are_those_of_the_edition_that_judged():
    one = judge(SERVICE, SERVICE.example("dwelling-service"), edition="2017")
    pages = one.located(NAMELESS).rule_pages
    assert {page["edition"] for page in pages.values()} == {"2017"}
    assert set(pages) == {finding.rule for finding in one.report.findings}
