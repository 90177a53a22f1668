"""What the HTTP server refuses before the application sees it: its own form, but nothing is given back as markup."""

import html5lib
import pytest

from serving import exchange, serving

XHTML = "{http://www.w3.org/1999/xhtml}"
MARK = b"<script>owned()</script>"


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    with serving(tmp_path_factory.mktemp("refusing")) as served:
        yield served


@pytest.mark.parametrize(
    "sent",
    [
        b"GET /" + MARK + b" HTTP/1.1\r\nHost: x\r\n\r\n",
        b"GET / " + MARK + b"\r\nHost: x\r\n\r\n",
        MARK + b" / HTTP/1.1\r\nHost: x\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: x\r\n" + MARK + b": x\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: " + MARK + b"\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: x\r\nContent-Length: " + MARK + b"\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: " + MARK + b"\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: x\r\n folded " + MARK + b"\r\n\r\n",
        b"GET /" + MARK * 400 + b" HTTP/1.1\r\nHost: x\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: x\r\n" + b"A: b\r\n" * 300 + b"\r\n",
        b"GET / HTTP/1.1\r\nHost: x\r\nA: " + MARK * 1000 + b"\r\n\r\n",
    ],
)
def test_nothing_of_it_runs(running, sent):
    response = exchange(running.port, sent)
    # 501 is for a transfer coding that the server does not know (RFC 9112, 6.1).
    assert 400 <= response.status < 500 or response.status == 501
    if response.headers.get("content-type", "").startswith("text/html"):
        page = html5lib.parse(response.body.decode())
        assert not list(page.iter(f"{XHTML}script"))
    else:
        assert response.headers["content-type"] == "application/problem+json"
    # The service goes on.
    assert exchange(running.port, b"GET /livez HTTP/1.1\r\nHost: x\r\n\r\n").status == 200
