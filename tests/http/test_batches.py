"""Batches: a line out for each line in, in order, whatever is wrong with one of them, and no further than asked."""

import io
import json
import re
import socket
import struct
import time

import pytest
import requests
from jsonschema import Draft202012Validator

from changeout.intake.reader import MOST_BYTES as LIMIT
from changeout.render.problem_json import problem_schema
from changeout.render.report_schema import report_schema
from changeout.web.app import create_app
from changeout.web.batch import Lines, answers
from changeout.web.settings import Settings
from serving import serving

REPORT, PROBLEM = Draft202012Validator(report_schema()), Draft202012Validator(problem_schema())
PATH = "/v1/validations/batch"
SHORT = PATH + "?detail=findings"
NDJSON = {"Content-Type": "application/x-ndjson"}


@pytest.fixture(scope="module")
def line(proposal):
    return json.dumps(json.loads(proposal)).encode() + b"\n"


def numbered(line, number):
    document = json.loads(line)
    document["project"]["reference"] = f"N-{number}"
    return json.dumps(document).encode() + b"\n"


def told(body):
    """Return each answer's reference or code, after holding it against its schema."""
    found = []
    for text in body.splitlines():
        document = json.loads(text)
        (PROBLEM if "code" in document else REPORT).validate(document)
        found.append(document["code"] if "code" in document else document["project"]["reference"])
    return found


def send(client, body, path=SHORT, **options):
    return client.post(path, data=body, headers=NDJSON, **options)


class TestUnderTheTestClient:
    def test_one_bad_line_harms_no_other_and_the_order_stays(self, client, line):
        body = numbered(line, 1) + b'{"changeout": 1}\n{]\n' + numbered(line, 2) + b"\xff\n" + numbered(line, 3)
        response = send(client, body)
        assert response.status_code == 200
        assert response.mimetype == "application/x-ndjson"
        expected = ["N-1", "unreadable-proposal", "malformed-json", "N-2", "not-utf-8", "N-3"]
        assert told(response.data) == expected

    def test_each_report_is_the_one_that_the_proposal_gets_alone(self, client, proposal, line):
        alone = client.post("/v1/validations", data=proposal, content_type="application/json").data
        assert send(client, line, PATH).data == alone + b"\n"

    def test_edition_and_detail_hold_for_every_line(self, client, line):
        document = json.loads(line)
        del document["project"]["edition"]
        body = json.dumps(document).encode() + b"\n" + line
        reports = [json.loads(text) for text in send(client, body, SHORT + "&edition=2017").data.splitlines()]
        assert [r["ruleset"]["edition"] for r in reports] == ["2017", "2017"]
        assert all("calculations" not in r for r in reports)

    def test_blank_lines_are_passed_over_and_the_last_needs_no_line_break(self, client, line):
        body = b"\n \t\r\n" + numbered(line, 1) + b"\r\n\n" + numbered(line, 2).rstrip()
        assert told(send(client, body).data) == ["N-1", "N-2"]

    def test_nothing_in_nothing_out(self, client):
        response = send(client, b"")
        assert (response.status_code, response.data) == (200, b"")

    def test_a_line_over_the_limit_is_passed_over_and_no_part_of_it_judged(self, client, line):
        just, over = (line.rstrip() + b" " * (n - len(line.rstrip())) for n in (LIMIT, LIMIT + 1))
        huge = b'"' + b"x" * (3 * LIMIT) + b'"'
        body = b"\n".join([just, over, huge, line.rstrip()])
        assert told(send(client, body).data) == ["WH-2104", "body-too-large", "body-too-large", "WH-2104"]

    def test_lines_beyond_the_number_are_not_judged_and_that_is_told(self, service, line):
        few = create_app(Settings(batch_lines=2), service).test_client()
        body = b"".join(numbered(line, n) for n in range(5))
        assert told(send(few, body).data) == ["N-0", "N-1", "too-many-lines"]
        assert told(send(few, body.split(b"\n")[0] + b"\n\n" + body.split(b"\n")[1]).data) == ["N-0", "N-1"]

    @pytest.mark.parametrize("media_type", ["application/json", "text/plain", "application/x-ndjson; charset=utf-16"])
    def test_other_media_types_are_refused(self, client, line, media_type):
        response = client.post(PATH, data=line, content_type=media_type)
        assert (response.status_code, response.json["code"]) == (415, "unsupported-media-type")
        assert response.headers["Accept"] == "application/x-ndjson"

    def test_json_alone_is_not_what_a_batch_can_be_had_as(self, client, line):
        response = client.post(PATH, data=line, headers={**NDJSON, "Accept": "application/json"})
        assert (response.status_code, response.json["code"]) == (406, "not-acceptable")

    def test_a_fault_of_ours_is_told_in_its_line_and_in_the_log(self, service, line, caplog):
        class Faulty:
            def __getattr__(self, name):
                return getattr(service, name)

            def validate(self, body, **options):
                if b"N-2" in body:
                    raise ZeroDivisionError("says what was sent")
                return service.validate(body, **options)

        faulty = create_app(Settings(), Faulty()).test_client()
        response = faulty.post(
            SHORT,
            data=b"".join(numbered(line, n) for n in (1, 2, 3)),
            headers={**NDJSON, "X-Request-Id": "look-here"},
        )
        assert told(response.data) == ["N-1", "internal-error", "N-3"]
        assert "look-here" in response.text
        assert "says what was sent" not in response.text + caplog.text

    @pytest.mark.parametrize("fault", [OSError("reset"), ValueError("odd"), ArithmeticError("the server's own")])
    def test_a_stream_that_breaks_ends_in_a_line_that_says_so(self, client, line, fault):
        class Breaking(io.RawIOBase):
            given = False

            def readable(self):
                return True

            def readline(self, _most=-1):
                if self.given:
                    raise fault
                self.given = True
                return numbered(line, 1)

        response = client.post(
            SHORT, headers=NDJSON, environ_overrides={"wsgi.input": Breaking(), "wsgi.input_terminated": True}
        )
        assert told(response.data) == ["N-1", "body-truncated"]

    def test_the_meters_count_each_line(self, client, line):
        def count(series):
            found = re.search(rf"^{re.escape(series)} (\S+)$", client.get("/metrics").text, re.MULTILINE)
            return float(found[1]) if found else 0.0

        verdict = json.loads(send(client, line).data)["verdict"]
        names = (
            f'changeout_validations_total{{edition="2023",verdict="{verdict}"}}',
            'changeout_refusals_total{code="malformed-json"}',
            'changeout_requests_total{method="POST",route="/v1/validations/batch",status="200"}',
        )
        before = [count(name) for name in names]
        # Counted when it is over: a caller under the test client says so.
        with send(client, line + b"{\n" + line) as response:
            assert response.data
        assert [count(name) - was for name, was in zip(names, before, strict=True)] == [2, 1, 1]


def test_nothing_is_read_before_it_is_asked_for_and_closing_ends_it():
    stream = io.BytesIO(b"1\n2\n3\n")
    judged = []

    def judge(text):
        judged.append(text)
        return text

    made = answers(iter(Lines(stream=stream, announced=6)), judge, lambda _: b"refused", 10)
    assert judged == []
    assert next(made) == b"1\n"
    made.close()
    assert judged == [b"1"]
    assert list(made) == []


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    with serving(tmp_path_factory.mktemp("batches"), "--threads", "4") as service:
        yield service


class TestUnderGunicorn:
    def test_a_body_of_unknown_length_is_answered_line_by_line(self, running, line):
        lines = [numbered(line, n) for n in range(6)]
        response = requests.post(running.url + SHORT, data=iter(lines), headers=NDJSON, timeout=60)
        assert told(response.content) == [f"N-{n}" for n in range(6)]

    def test_the_first_answer_comes_before_the_last_line_is_sent(self, running, line):
        with socket.create_connection(("127.0.0.1", running.port), timeout=30) as connection:
            head = (
                b"POST %b HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-ndjson\r\n"
                b"Transfer-Encoding: chunked\r\nConnection: close\r\n\r\n"
            )
            first, second = numbered(line, 1), numbered(line, 2)
            # The server reads a body in blocks of 1 KiB: a blank line that fills the block lets the first line through.
            filled = first + b" " * 1024 + b"\n"
            connection.sendall(head % SHORT.encode() + b"%x\r\n%b\r\n" % (len(filled), filled))
            received = b""
            while b'"N-1"' not in received:
                received += _some(connection)
            assert b'"N-2"' not in received
            connection.sendall(b"%x\r\n%b\r\n0\r\n\r\n" % (len(second), second))
            while b'"N-2"' not in received:
                received += _some(connection)

    def test_a_body_shorter_than_announced_ends_in_a_line_that_says_so(self, running, line):
        whole = numbered(line, 1) + numbered(line, 2)
        body = self._answer_to(running, b"Content-Length: %d\r\n\r\n" % (len(whole) + 1) + whole[:-2])
        assert told(body) == ["N-1", "body-truncated"]

    @pytest.mark.parametrize("rest", [b"zz\r\n", b"5\r\n{", b""])
    def test_a_broken_chunk_ends_in_a_line_that_says_so(self, running, line, rest):
        first = numbered(line, 1) + b" " * 2048 + b"\n"
        sent = b"Transfer-Encoding: chunked\r\n\r\n%x\r\n%b\r\n" % (len(first), first) + rest
        assert told(self._answer_to(running, sent)) == ["N-1", "body-truncated"]

    def test_a_line_over_the_limit_harms_no_other(self, running, line):
        body = b"".join([numbered(line, 1), b"[" + b" " * LIMIT + b"]\n", numbered(line, 2)])
        response = requests.post(running.url + SHORT, data=body, headers=NDJSON, timeout=60)
        assert told(response.content) == ["N-1", "body-too-large", "N-2"]
        response = requests.post(running.url + SHORT, data=iter([body]), headers=NDJSON, timeout=60)
        assert told(response.content) == ["N-1", "body-too-large", "N-2"]

    def test_a_caller_who_goes_away_stops_the_work(self, running, line):
        def judged():
            text = requests.get(f"{running.url}/metrics", timeout=10).text
            return sum(float(n) for n in re.findall(r"^changeout_validations_total\{.*\} (\S+)$", text, re.MULTILINE))

        number, before = 3000, judged()
        body = line * number
        connection = socket.create_connection(("127.0.0.1", running.port), timeout=30)
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        head = b"POST %b HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-ndjson\r\nContent-Length: %d\r\n\r\n"
        connection.sendall(head % (SHORT.encode(), len(body)) + body[: 40 * len(line)])
        connection.recv(64)
        # Reset, not closed: what is on its way is lost.
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        connection.close()
        last = -1.0
        limit = time.monotonic() + 60
        while last != (last := judged()) and time.monotonic() < limit:
            time.sleep(1.0)
        assert 1 <= last - before < 40
        logged = [one for one in running.log() if one.get("route") == PATH]
        assert logged[-1]["status"] == 200
        response = requests.post(running.url + SHORT, data=line, headers=NDJSON, timeout=30)
        assert told(response.content) == ["WH-2104"]

    def _answer_to(self, running, rest):
        head = b"POST %b HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-ndjson\r\nConnection: close\r\n"
        with socket.create_connection(("127.0.0.1", running.port), timeout=30) as connection:
            connection.sendall(head % SHORT.encode() + rest)
            connection.shutdown(socket.SHUT_WR)
            received = b""
            while data := connection.recv(65536):
                received += data
        head, _, body = received.partition(b"\r\n\r\n")
        assert head.startswith(b"HTTP/1.1 200 ")
        return _dechunked(body)


def _some(connection):
    data = connection.recv(65536)
    assert data, "the connection ended early"
    return data


def _dechunked(body):
    whole = b""
    while body:
        size, _, body = body.partition(b"\r\n")
        whole += body[: int(size, 16)]
        body = body[int(size, 16) + 2 :]
    return whole
