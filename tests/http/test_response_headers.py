"""The headers that every response carries, and how requests are told apart."""

import re

import pytest

from changeout import __version__

PATHS = ["/v1/editions", "/v1/nothing", "/livez", "/docs", "/docs/problems", "/docs/assets/pages.css", "/metrics"]


@pytest.mark.parametrize("path", PATHS)
def test_every_response_says_what_answered(client, service, path):
    headers = client.get(path).headers
    assert headers["Changeout-Engine"] == __version__
    assert headers["Changeout-Interface"] == "1"
    assert headers["Changeout-Ruleset"] == service.digest
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Resource-Policy"] == headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert "default-src 'none'" in headers["Content-Security-Policy"]
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert headers["Cache-Control"]


def test_json_may_load_nothing_and_a_page_only_from_here(client):
    assert "script-src" not in client.get("/v1/editions").headers["Content-Security-Policy"]
    policy = client.get("/docs").headers["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "connect-src 'self'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


@pytest.mark.parametrize("given", ["a", "r-17", "0af7651916cd43dd8448eb211c80319c", "A.b_c-9", "x" * 64])
def test_a_well_formed_request_id_is_kept(client, given):
    assert client.get("/livez", headers={"X-Request-Id": given}).headers["X-Request-Id"] == given


@pytest.mark.parametrize("given", ["", "x" * 65, "a b", "a\u00e4", '"><script>', "-a", "1\t"])
def test_any_other_request_id_is_replaced(client, given):
    made = client.get("/livez", headers={"X-Request-Id": given}).headers["X-Request-Id"]
    assert re.fullmatch(r"[0-9a-f]{32}", made)


def test_each_request_has_an_id_of_its_own(client):
    assert client.get("/livez").headers["X-Request-Id"] != client.get("/livez").headers["X-Request-Id"]


def test_a_report_is_not_kept_by_caches(client, proposal):
    response = client.post("/v1/validations", data=proposal, content_type="application/json")
    assert response.headers["Cache-Control"] == "no-store"
    assert response.headers["Vary"] == "Accept"


@pytest.mark.parametrize(
    "path", ["/v1/editions/2023", "/v1/schemas/proposal", "/docs/assets/pages.css", "/openapi.json"]
)
def test_what_changes_only_with_a_release_is_asked_about_by_tag(client, path):
    first = client.get(path)
    assert first.headers["Cache-Control"] == "no-cache"
    second = client.get(path, headers={"If-None-Match": first.headers["ETag"]})
    assert (second.status_code, second.data) == (304, b"")
    assert second.headers["Changeout-Engine"] == __version__


def test_a_range_is_not_served(client):
    response = client.get("/docs/assets/pages.css", headers={"Range": "bytes=999999-"})
    assert response.status_code == 200
