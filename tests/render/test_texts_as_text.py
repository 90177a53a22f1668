"""No text of a caller becomes markup in any form, and every text is still to be read there."""

import json
import re

import jsonschema
import pytest
from defusedxml import ElementTree

from changeout.application.documents import DOCUMENTS, make_document
from changeout.application.judgement import judge
from changeout.application.reports import REPORT_FORMS
from changeout.application.service import Service
from changeout.domain.facts import Text
from changeout.domain.walk import facts_of
from changeout.render.junit import junit_bytes
from changeout.render.pictures import PICTURES
from changeout.render.safe_text import printable
from changeout.render.sarif import sarif_bytes
from render.hostile import HOSTILE, hostile_documents
from render.reading import SVG, elements, html_tree, markdown_tree, tag, text_of
from render.test_sarif_logs import VALIDATOR

SERVICE = Service.load()
IN_HTML = frozenset(
    [
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "main",
        "footer",
        "section",
        "article",
        "details",
        "summary",
        "h1",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
        "p",
        "ul",
        "ol",
        "li",
        "dl",
        "dt",
        "dd",
        "div",
        "table",
        "caption",
        "colgroup",
        "col",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
        "figure",
        "figcaption",
        "strong",
        "code",
        "span",
        "br",
        "svg",
        "desc",
        "line",
        "rect",
        "circle",
        "path",
        "text",
    ]
)
IN_MARKDOWN = frozenset(
    [
        "document_fragment",
        "h1",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
        "p",
        "ul",
        "ol",
        "li",
        "strong",
        "code",
        "hr",
        "table",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
        "details",
        "summary",
    ]
)
ATTRIBUTES = re.compile(
    r"lang|charset|name|content|class|scope|rowspan|aria-(hidden|labelledby)|role|id|open|viewBox|width|height|d|r|"
    r"text-anchor|c[xy]|[xy][12]?|\{http://www.w3.org/2000/xmlns/\}xmlns"
)


@pytest.fixture(scope="module", params=range(len(hostile_documents())))
def case(request):
    body = json.dumps(hostile_documents()[request.param]).encode()
    return judge(SERVICE, body)


def check_html(content):
    tree = html_tree(content)
    for element in elements(tree):
        assert tag(element) in IN_HTML, tag(element)
        for name in element.attrib:
            assert ATTRIBUTES.fullmatch(name), name
    return text_of(tree)


def check_markdown(content):
    tree = markdown_tree(content)
    for element in elements(tree):
        assert tag(element).lower() in IN_MARKDOWN, tag(element)
        assert not set(element.attrib) - {"start", "style"}, element.attrib
        assert element.attrib.get("style", "text-align:right") == "text-align:right"
    return text_of(tree)


def is_shown(text, shown):
    return " ".join(printable(text).split()) in shown


def test_every_free_text_member_holds_one(case):
    texts = {f.at: f.value for f in facts_of(case.read.proposal).values() if isinstance(f, Text)}
    unset = {re.sub(r"\d+", "N", at) for at, value in texts.items() if not value} - {"/project/jurisdiction"}
    assert unset <= {"/panelboard/circuits/N/multiwire_group"}
    for value in texts.values():
        assert value is None or any(text[:15] in value for text in HOSTILE)


def test_the_html_report_holds_the_texts_as_text(case):
    shown = check_html(REPORT_FORMS["text/html"](case).decode())
    project = case.read.document["project"]
    for text in (project["reference"], *project["annotations"], *project["annotations"].values()):
        assert is_shown(text, shown), text
    waiver = case.read.document["waivers"][0]
    assert is_shown(waiver["reason"], shown)


def test_the_markdown_report_holds_the_texts_as_text(case):
    shown = check_markdown(REPORT_FORMS["text/markdown"](case).decode())
    project = case.read.document["project"]
    for text in (project["reference"], *project["annotations"], *project["annotations"].values()):
        assert is_shown(text, shown), text


def test_markdown_has_no_bare_address(case):
    content = REPORT_FORMS["text/markdown"](case).decode()
    assert not re.search(r"(?i)\b(https?:|www\.)", content)


def test_sarif_is_valid_and_links_nowhere(case):
    log = json.loads(REPORT_FORMS["application/sarif+json"](case))
    VALIDATOR.validate(log)
    for result in log["runs"][0]["results"]:
        assert not re.search(r"(?<!\\)\[[^\[\]]*(?<!\\)\]\(", result["message"]["text"])


def test_junit_is_well_formed(case):
    root = ElementTree.fromstring(REPORT_FORMS["application/junit+xml"](case))
    assert {e.tag for e in root.iter()} <= {
        "testsuites",
        "testsuite",
        "properties",
        "property",
        "testcase",
        "failure",
        "skipped",
        "system-out",
    }
    waived = [e.get("message") for e in root.iter("skipped") if e.get("type") == "waived"]
    assert is_shown(case.read.document["waivers"][0]["reason"], waived[0])


def test_pictures_hold_the_texts_as_text(case):
    for draws in PICTURES.values():
        root = ElementTree.fromstring(draws(case.read.proposal, case.report.calculations, stands_alone=True))
        assert {tag(e) for e in root.iter()} <= {
            "svg", "title", "desc", "style", "line", "rect", "circle", "path", "text"
        }  # fmt: skip
    told = ElementTree.fromstring(PICTURES["circuits"](case.read.proposal, ())).find(f"{SVG}desc").text
    for circuit in case.read.document["panelboard"]["circuits"]:
        assert is_shown(circuit["serves"], told)


@pytest.mark.parametrize("kind", DOCUMENTS)
def test_documents_hold_the_texts_as_text(case, kind):
    request = {"proposal": case.read.document}
    told = list(case.read.document["project"]["annotations"].values())
    if kind == "correction-letter":
        violated = next(f for f in case.report.findings if f.outcome.value == "advisory")
        request["decisions"] = [{"rule": violated.rule, "action": "note", "text": HOSTILE[0] + HOSTILE[4]}]
        told.append(HOSTILE[0] + HOSTILE[4])
    if kind == "circuit-directory":
        told += [circuit["serves"] for circuit in case.read.document["panelboard"]["circuits"]]
    body = json.dumps(request).encode()
    for form, check in (("text/html", check_html), ("text/markdown", check_markdown)):
        shown = check(make_document(SERVICE, kind, body, form).decode())
        for text in told:
            assert is_shown(text, shown), text


def test_the_file_name_is_no_markup_either():
    name = 'x"><script>alert(1)</script>&.json'
    one = judge(SERVICE, SERVICE.example("dwelling-service")).located(name)
    root = ElementTree.fromstring(junit_bytes([one]))
    assert root[0].get("name") == name
    log = json.loads(sarif_bytes([one]))
    jsonschema.validate(log["runs"][0]["artifacts"], {"type": "array"})
    assert "<" not in log["runs"][0]["artifacts"][0]["location"]["uri"]


@pytest.mark.parametrize(
    "text, shown",
    [
        ("a\x00b", "a\\u0000b"),
        ("a\u202eb", "a\\u202eb"),
        ("a\ufffeb", "a\\ufffeb"),
        ("a\U0001fffeb", "a\\U0001fffeb"),
        ("a\ufdd0b", "a\\ufdd0b"),
        ("a\r\n\tb", "a b"),
        ("a\u00a0b", "a b"),
        ("\u2028", "\\u2028"),
        ("ü 北 🙂", "ü 北 🙂"),
    ],
)
def test_what_cannot_stand_in_xml_is_spelled_out(text, shown):
    assert printable(text) == shown
