"""Markup, formulas and commands in every text that a proposal may hold, in every form that an answer has."""

import json
import re

import html5lib
import pytest
from defusedxml import ElementTree
from hostile_inputs import MARKUP, texts
from markdown_it import MarkdownIt

from changeout.application.documents import DOCUMENTS
from changeout.web.app import create_app
from changeout.web.settings import Settings

TEXTS = list(texts())
JSON = {"Content-Type": "application/json"}
XHTML = "{http://www.w3.org/1999/xhtml}"
SAFE_ADDRESS = re.compile(r"(#[\w.-]*|/[\w./#?=&%-]*|data:image/(png|svg\+xml)[;,].*)", re.DOTALL)


@pytest.fixture(scope="module")
def client():
    return create_app(Settings(patience_s=60)).test_client()


def check_page(text, *, scripts=()):
    """See that no element and no attribute of the page comes from a text of a proposal."""
    page = html5lib.parse(text)
    for element in page.iter():
        name = str(element.tag).removeprefix(XHTML)
        assert name not in {"iframe", "object", "embed", "base", "link" if not scripts else "iframe"}
        assert name != "script" or element.get("src", "") in scripts
        for attribute, value in element.attrib.items():
            assert not str(attribute).lower().startswith("on"), attribute
            if attribute in {"href", "src", "action", "formaction"}:
                assert SAFE_ADDRESS.fullmatch(value), value
    style = "".join(element.text or "" for element in page.iter(f"{XHTML}style"))
    assert "owned" not in style
    return page


IDS = [name for name, _, _ in TEXTS]
bodies = pytest.mark.parametrize("body", [body for _, _, body in TEXTS], ids=IDS)


@pytest.mark.parametrize("text, body", [(text, body) for _, text, body in TEXTS], ids=IDS)
def test_a_page_shows_them_as_text(client, text, body):
    response = client.post("/v1/validations", data=body, headers={**JSON, "Accept": "text/html"})
    assert response.status_code == 200, response.text[:200]
    page = check_page(response.text)
    # Shown, and in full: what was escaped once is shown once.
    assert text[:60] in "".join(page.itertext())
    assert "unsafe-inline" not in response.headers["Content-Security-Policy"]
    assert "default-src 'none'" in response.headers["Content-Security-Policy"]


@bodies
@pytest.mark.parametrize("kind", DOCUMENTS)
def test_a_document_shows_them_as_text(client, kind, body):
    response = client.post(f"/v1/documents/{kind}", data=body, headers={**JSON, "Accept": "text/html"})
    assert response.status_code == 200, response.text[:200]
    check_page(response.text)


@bodies
def test_the_review_page_shows_them_as_text(client, body):
    response = client.post("/review", data={"proposal": body.decode()})
    assert response.status_code in {200, 400, 422}
    sources = {element.get("src") for element in html5lib.parse(response.text).iter(f"{XHTML}script")}
    assert all(source and source.startswith("/") for source in sources)
    check_page(response.text, scripts=sources | {""})


@bodies
def test_sarif_and_junit_hold_them_as_text(client, body):
    sarif = client.post("/v1/validations", data=body, headers={**JSON, "Accept": "application/sarif+json"})
    assert json.loads(sarif.data)["version"] == "2.1.0"
    junit = client.post("/v1/validations", data=body, headers={**JSON, "Accept": "application/junit+xml"})
    tags = {element.tag for element in ElementTree.fromstring(junit.data).iter()}
    assert tags <= {
        "testsuites",
        "testsuite",
        "testcase",
        "failure",
        "error",
        "skipped",
        "system-out",
        "properties",
        "property",
    }


@bodies
def test_markdown_makes_no_markup_of_them(client, body):
    for path in ("/v1/validations", *(f"/v1/documents/{kind}" for kind in DOCUMENTS)):
        response = client.post(path, data=body, headers={**JSON, "Accept": "text/markdown"})
        assert response.status_code == 200
        # As a reader that lets HTML through would show it.
        shown = MarkdownIt("commonmark", {"html": True}).enable("table").render(response.text)
        check_page(shown)
        assert "<b>" not in shown


@bodies
def test_plain_text_has_no_control_characters(client, body):
    response = client.post("/v1/validations", data=body, headers={**JSON, "Accept": "text/plain"})
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]", response.text)


@pytest.mark.parametrize("text", MARKUP.values(), ids=MARKUP)
def test_addresses_headers_and_parameters_are_not_given_back_as_markup(client, text):
    for response in (
        client.get("/v1/editions/" + text.replace("/", "%2F").replace("#", "%23").replace("?", "%3F")),
        client.get("/v1/validations", query_string={"edition": text}),
        client.post("/v1/validations", query_string={"edition": text}, data=b"{}", headers=JSON),
        client.get("/docs/" + text.replace("/", "%2F").replace("#", "%23").replace("?", "%3F")),
        client.post("/v1/validations", data=b"{}", headers={"Content-Type": text.encode("ascii", "ignore").decode()}),
        client.get("/v1/editions", headers={"Accept": text.encode("ascii", "ignore").decode()}),
        client.get("/review", query_string={"example": text}),
    ):
        assert 400 <= response.status_code < 500
        if response.mimetype == "text/html":
            check_page(response.text, scripts={"/docs/assets/review.js", ""})
        else:
            # A browser that is made to show it shows text: the type is said, and it may not be guessed.
            assert response.mimetype == "application/problem+json"
            assert response.headers["X-Content-Type-Options"] == "nosniff"
