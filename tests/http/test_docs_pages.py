"""The pages under /docs: complete, and nothing in them from elsewhere."""

import re

from changeout.domain.problems import ERRORS, PROBLEMS
from changeout.web.pages import _from_markdown, page, titles


def test_every_problem_and_error_has_its_anchor(client):
    text = client.get("/docs/problems").text
    for code in (*PROBLEMS, *ERRORS):
        assert text.count(f'id="{code}"') == 1


def test_every_link_and_file_of_a_page_leads_somewhere(client):
    for name in titles():
        text = client.get(f"/docs/{name}" if name else "/docs").text
        for address in re.findall(r'(?:href|src)="([^"]+)"', text):
            assert address.startswith(("/", "#", "https://")), address
            if address.startswith("/"):
                assert client.get(address.partition("#")[0]).status_code == 200, address


def test_pages_load_nothing_from_another_host_and_hold_no_script_or_style(client):
    for name in titles():
        text = client.get(f"/docs/{name}" if name else "/docs").text
        assert not re.search(r'<(?:script|link|img|iframe)[^>]*(?:src|href)="(?:https?:)?//', text)
        assert not re.search(r"<script(?![^>]*\bsrc=)", text)
        assert "<style" not in text
        assert " style=" not in text
        assert not re.search(r"\son[a-z]+=", text)


def test_the_title_of_a_page_is_its_first_heading():
    for name, title in titles().items():
        heading = re.search(r"<h1[^>]*>(.*?)</h1>", page(name).decode())
        assert title
        assert name == "" or (heading and heading[1] == title)


def test_raw_html_in_a_page_comes_out_as_text():
    content = _from_markdown("# A <b>page</b>\n\n<script>alert(1)</script>\n\n[x](javascript:alert(1))\n")
    assert "<script>" not in content
    assert "&lt;script&gt;" in content
    assert 'href="javascript' not in content


def test_a_comment_is_left_out():
    content = _from_markdown("# A\n\n<!-- from here -->\n\n| a |\n|---|\n| 1 |\n\n<!-- to here -->\nand on\n")
    assert "here" not in content
    assert "<td>1</td>" in content
    assert "and on" in content


def test_neighbouring_pages_are_led_to_where_they_are_served():
    content = _from_markdown("[a](rules.md#some-rule), [b](api.md), [c](https://example.org/x.md), [d](/docs)\n")
    for address in ("/docs/rules#some-rule", "/docs/api", "https://example.org/x.md", "/docs"):
        assert f'href="{address}"' in content


def test_headings_have_anchors_and_tables_are_read():
    content = _from_markdown("# One\n\n## What it asks, and why\n\n| a | b |\n|---|---|\n| 1 | 2 |\n")
    assert 'id="what-it-asks-and-why"' in content
    assert "<td>1</td>" in content


def test_the_viewer_is_served_from_the_installed_package(client):
    script = client.get("/docs/assets/swagger-ui-bundle.js")
    assert (script.status_code, script.mimetype) == (200, "text/javascript")
    assert len(script.data) > 100_000
