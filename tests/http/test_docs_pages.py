"""The pages under /docs: complete, and nothing in them from elsewhere."""

import re

from changeout.domain.problems import ERRORS, PROBLEMS
from changeout.web.pages import _from_markdown, made_pages


def test_every_problem_and_error_has_its_anchor(client):
    page = client.get("/docs/problems").text
    for code in (*PROBLEMS, *ERRORS):
        assert page.count(f'id="{code}"') == 1


def test_every_link_and_file_of_a_page_leads_somewhere(client):
    for name in made_pages():
        page = client.get(f"/docs/{name}" if name else "/docs").text
        for address in re.findall(r'(?:href|src)="([^"]+)"', page):
            assert address.startswith(("/", "#", "https://")), address
            if address.startswith("/"):
                assert client.get(address.partition("#")[0]).status_code == 200, address


def test_pages_load_nothing_from_another_host_and_hold_no_script_or_style(client):
    for name in made_pages():
        page = client.get(f"/docs/{name}" if name else "/docs").text
        assert not re.search(r'<(?:script|link|img|iframe)[^>]*(?:src|href)="(?:https?:)?//', page)
        assert not re.search(r"<script(?![^>]*\bsrc=)", page)
        assert "<style" not in page
        assert " style=" not in page
        assert not re.search(r"\son[a-z]+=", page)


def test_raw_html_in_a_page_comes_out_as_text():
    title, content = _from_markdown("# A <b>page</b>\n\n<script>alert(1)</script>\n\n[x](javascript:alert(1))\n")
    assert title == "A <b>page</b>"
    assert "<script>" not in content
    assert "&lt;script&gt;" in content
    assert 'href="javascript' not in content


def test_headings_have_anchors_and_tables_are_read():
    _, content = _from_markdown("# One\n\n## What it asks, and why\n\n| a | b |\n|---|---|\n| 1 | 2 |\n")
    assert 'id="what-it-asks-and-why"' in content
    assert "<td>1</td>" in content


def test_the_viewer_is_served_from_the_installed_package(client):
    script = client.get("/docs/assets/swagger-ui-bundle.js")
    assert (script.status_code, script.mimetype) == (200, "text/javascript")
    assert len(script.data) > 100_000
