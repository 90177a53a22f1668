"""Which form a caller gets."""

import pytest

from changeout.domain.problems import Refusal
from changeout.web.negotiation import choose

OFFERED = ("application/json", "text/plain", "application/sarif+json")


@pytest.mark.parametrize(
    "accept, expected",
    [
        (None, "application/json"),
        ("", "application/json"),
        ("*/*", "application/json"),
        ("application/json", "application/json"),
        ("APPLICATION/JSON", "application/json"),
        ("text/plain", "text/plain"),
        ("text/*", "text/plain"),
        ("text/plain;charset=utf-8", "text/plain"),
        ("application/json;q=0.4, text/plain;q=0.5", "text/plain"),
        ("application/json;q=0.5, text/plain;q=0.5", "application/json"),
        # The most specific range decides: json is at 0.1, the rest of application/* at 0.9.
        ("application/*;q=0.9, application/json;q=0.1, text/plain;q=0.5", "application/sarif+json"),
        ("*/*;q=0.1, application/json;q=0", "text/plain"),
        ("text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", "application/json"),
        ("image/png, application/sarif+json;q=0.001", "application/sarif+json"),
    ],
)
def test_the_most_wanted_form_is_chosen(accept, expected):
    assert choose(accept, OFFERED) == expected


@pytest.mark.parametrize("accept", ["image/png", "application/json;q=0", "*/*;q=0", "text/html, application/xml", "x"])
def test_nothing_that_can_be_made(accept):
    with pytest.raises(Refusal) as refused:
        choose(accept, OFFERED)
    assert refused.value.problem.code == "not-acceptable"


def test_probes_and_meters_answer_whatever_is_accepted(client):
    for path in ("/livez", "/readyz", "/metrics"):
        assert client.get(path, headers={"Accept": "image/png"}).status_code == 200


def test_a_schema_is_a_schema_unless_json_is_asked_for(client):
    assert client.get("/v1/schemas/report").mimetype == "application/schema+json"
    assert client.get("/v1/schemas/report", headers={"Accept": "application/json"}).mimetype == "application/json"
