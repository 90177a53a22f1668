"""A body counts only when all of it has come: under the test client, and under gunicorn over a socket."""

import io

import pytest
from werkzeug.exceptions import ClientDisconnected, RequestEntityTooLarge

from changeout.intake.reader import MOST_BYTES as LIMIT
from serving import exchange

HEAD = b"POST /v1/validations HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"


def chunked(body, size=65536):
    parts = [body[i : i + size] for i in range(0, len(body), size)]
    return b"".join(b"%x\r\n%s\r\n" % (len(part), part) for part in parts) + b"0\r\n\r\n"


def padded(proposal, length):
    return proposal + b" " * (length - len(proposal))


def test_the_limit_is_one_mebibyte():
    assert LIMIT == 1024 * 1024


class TestUnderTheTestClient:
    def test_a_body_of_exactly_the_limit_is_read(self, client, proposal):
        response = client.post("/v1/validations", data=padded(proposal, LIMIT), content_type="application/json")
        assert response.status_code == 200

    def test_one_byte_more_is_refused(self, client, proposal):
        response = client.post("/v1/validations", data=padded(proposal, LIMIT + 1), content_type="application/json")
        assert (response.status_code, response.json["code"]) == (413, "body-too-large")

    def test_a_stream_of_unknown_length_is_never_cut(self, client, proposal):
        # What would be left after a cut at the limit is a whole document: only the count can tell.
        for length, status in ((LIMIT, 200), (LIMIT + 1, 413), (2 * LIMIT, 413)):
            response = client.post(
                "/v1/validations",
                input_stream=io.BytesIO(padded(proposal, length)),
                content_type="application/json",
                environ_overrides={"wsgi.input_terminated": True},
            )
            assert response.status_code == status, length

    @pytest.mark.parametrize(
        "fault, status, code",
        [
            (OSError("reset"), 400, "body-truncated"),
            (ValueError("odd"), 400, "body-truncated"),
            (ArithmeticError("the server's own"), 400, "body-truncated"),
            (ClientDisconnected(), 400, "body-truncated"),
            (RequestEntityTooLarge(), 413, "body-too-large"),
        ],
    )
    def test_a_stream_that_breaks_is_no_body(self, client, fault, status, code):
        class Broken(io.RawIOBase):
            def readable(self):
                return True

            def readinto(self, _buffer):
                raise fault

        response = client.post(
            "/v1/validations",
            content_type="application/json",
            environ_overrides={"wsgi.input": Broken(), "wsgi.input_terminated": True},
        )
        assert (response.status_code, response.json["code"]) == (status, code)

    def test_a_length_over_the_limit_is_refused_before_the_stream_is_touched(self, client):
        response = client.post(
            "/v1/validations",
            content_type="application/json",
            environ_overrides={"wsgi.input": None, "CONTENT_LENGTH": str(LIMIT + 1)},
        )
        assert (response.status_code, response.json["code"]) == (413, "body-too-large")


class TestUnderGunicorn:
    def test_a_whole_body_with_a_length(self, served, proposal):
        response = exchange(served.port, HEAD + b"Content-Length: %d\r\n\r\n" % len(proposal) + proposal)
        assert (response.status, response.json()["changeout_report"]) == (200, 1)

    @pytest.mark.parametrize("length, status", [(0, 200), (LIMIT, 200), (LIMIT + 1, 413), (2 * LIMIT, 413)])
    def test_a_chunked_body(self, served, proposal, length, status):
        sent = HEAD + b"Transfer-Encoding: chunked\r\n\r\n" + chunked(padded(proposal, length))
        assert exchange(served.port, sent).status == status

    def test_a_length_over_the_limit_is_refused_before_anything_is_sent(self, served):
        response = exchange(served.port, HEAD + b"Content-Length: 2097152\r\n\r\n")
        assert (response.status, response.json()["code"]) == (413, "body-too-large")

    def test_a_body_shorter_than_announced(self, served, proposal):
        sent = HEAD + b"Content-Length: %d\r\n\r\n" % (len(proposal) + 1) + proposal
        response = exchange(served.port, sent, half_close=True)
        assert (response.status, response.json()["code"]) == (400, "body-truncated")

    @pytest.mark.parametrize("rest", [b"zz\r\n", b"5\r\n{", b"-1\r\n", b"1;" + b"x" * 20 + b"\r\n{"])
    def test_a_chunk_that_is_malformed_or_breaks_off(self, served, rest):
        sent = HEAD + b"Transfer-Encoding: chunked\r\n\r\n" + rest
        response = exchange(served.port, sent, half_close=True)
        assert (response.status, response.json()["code"]) == (400, "body-truncated")

    def test_bytes_after_the_announced_length_are_not_the_body(self, served, proposal):
        sent = HEAD + b"Connection: close\r\nContent-Length: %d\r\n\r\n" % len(proposal) + proposal + b'{"x": 1}'
        assert exchange(served.port, sent).status == 200

    @pytest.mark.parametrize(
        "lines",
        [
            b"Content-Length: 5\r\nTransfer-Encoding: chunked\r\n",
            b"Content-Length: 5\r\nContent-Length: 6\r\n",
            b"Content-Length: -1\r\n",
            b"Content-Length: +3\r\n",
        ],
    )
    def test_what_the_server_itself_refuses_never_reaches_us(self, served, lines):
        assert exchange(served.port, HEAD + lines + b"\r\nhello").status == 400

    def test_a_refused_body_leaves_the_service_answering(self, served, proposal):
        exchange(served.port, HEAD + b"Content-Length: 2097152\r\n\r\n")
        sent = HEAD + b"Content-Length: %d\r\n\r\n" % len(proposal) + proposal
        assert exchange(served.port, sent).status == 200

    def test_no_content_type(self, served):
        response = exchange(served.port, b"POST /v1/validations HTTP/1.1\r\nHost: x\r\nContent-Length: 2\r\n\r\n{}")
        assert (response.status, response.json()["code"]) == (415, "unsupported-media-type")

    @pytest.mark.parametrize("host", [b"", b"Host: \r\n", b"Host: a b\r\n", b"Host: x:99999\r\n"])
    def test_an_odd_host_changes_nothing(self, served, host):
        assert exchange(served.port, b"GET /livez HTTP/1.1\r\n" + host + b"\r\n").status in {200, 400}

    @pytest.mark.parametrize(
        "path", [b"/v1/editions/%ff", b"/v1/%00", b"/%2e%2e/%2e%2e/etc/passwd", b"/\xc3\xa4", b"*"]
    )
    def test_an_odd_path_is_not_found(self, served, path):
        response = exchange(served.port, b"GET " + path + b" HTTP/1.1\r\nHost: x\r\n\r\n")
        assert response.status in {400, 404}
        if response.status == 404:
            assert response.json()["code"] == "not-found"
