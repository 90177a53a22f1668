"""What is logged: one line for a request, whatever it holds; nothing of a proposal, no token, no forged line."""

import json
import re

import pytest

from changeout.domain.problems import Refusal
from changeout.web.app import create_app
from changeout.web.problems import as_refusal
from changeout.web.settings import Settings
from serving import exchange, serving

FORGED = '{"time": "2026-01-01T00:00:00.000Z", "status": 200, "forged": true}'
SECRET = "Harriet Quill, 12 Limpet Row"
TOKEN = "a-Token_of.length~32/0123456789+="


def logged(folder):
    return (folder / "out").read_text() + (folder / "err").read_text()


def test_lines_cannot_be_forged_nor_colours_sent_to_a_terminal(tmp_path):
    """Bytes on the wire that would begin a new line, or command a terminal, if they were written as they are."""
    with serving(tmp_path) as running:
        tries = (
            b"GET /x%0a" + FORGED.replace(" ", "%20").encode() + b" HTTP/1.1\r\nHost: x\r\n\r\n",
            b"GET /x\x1b[31m HTTP/1.1\r\nHost: x\r\n\r\n",
            b"GET /livez?%0d%0a" + FORGED.replace(" ", "%20").encode() + b" HTTP/1.1\r\nHost: x\r\n\r\n",
            b"FORGED\x1b[2J /livez HTTP/1.1\r\nHost: x\r\n\r\n",
            b"BREW /livez HTTP/1.1\r\nHost: x\r\n\r\n",
            b"GET /livez HTTP/1.1\r\nHost: x\r\nX-Request-Id: a\x1b[31mb\r\n\r\n",
            b"GET /livez HTTP/1.1\r\nHost: x\r\nX-Request-Id: " + FORGED.encode() + b"\r\n\r\n",
            b"GET /livez HTTP/1.1\r\nHost: x\r\nUser-Agent: \x1b]0;owned\x07\r\n\r\n",
            b"GET /livez HTTP/9.9\r\nHost: x\x1b[31m\r\n\r\n",
            b"\x1b[31mGET / HTTP/1.1\r\nHost: x\r\n\r\n",
        )
        for sent in tries:
            exchange(running.port, sent)
        for line in running.log():
            assert "forged" not in line
            assert set(line) >= {"time", "status", "request_id"}
            assert re.fullmatch(r"[A-Za-z0-9._-]+", line["request_id"])
    text = logged(tmp_path)
    assert "\x1b" not in text
    assert "\x07" not in text
    assert not any(line.startswith(FORGED[:20]) and "forged" in line for line in text.splitlines())


def test_nothing_of_a_proposal_and_no_token_is_logged(tmp_path, proposal_with):
    body = proposal_with(SECRET)
    with serving(tmp_path, environment={"CHANGEOUT_TOKEN": TOKEN}) as running:
        for path, sent, token in (
            ("/v1/validations", body, TOKEN),
            ("/v1/validations", body[:-1], TOKEN),
            ("/v1/validations", body.replace(b'"changeout": 1', b'"changeout": "Harriet Quill"'), TOKEN),
            ("/v1/documents/correction-letter", body, TOKEN),
            ("/v1/validations/batch", body, TOKEN),
            ("/v1/validations", body, "wrong-" + TOKEN),
        ):
            kind = "application/x-ndjson" if path.endswith("batch") else "application/json"
            head = (
                f"POST {path} HTTP/1.1\r\nHost: x\r\nContent-Type: {kind}\r\nContent-Length: {len(sent)}\r\n"
                f"Authorization: Bearer {token}\r\nConnection: close\r\n\r\n"
            )
            exchange(running.port, head.encode() + sent)
        exchange(running.port, f"GET /v1/editions?x={SECRET.split(maxsplit=1)[0]} HTTP/1.1\r\nHost: x\r\n\r\n".encode())
    text = logged(tmp_path)
    assert len(text.splitlines()) >= 7
    for private in ("Harriet", "Quill", "Limpet", TOKEN, TOKEN[:12]):
        assert private not in text


def test_a_fault_is_logged_without_what_the_exception_says(caplog):
    caplog.set_level("INFO", logger="changeout")
    told = as_refusal(ValueError(SECRET), "id-1")
    assert isinstance(told, Refusal)
    assert SECRET not in told.detail
    (record,) = caplog.records
    assert "Harriet" not in record.message
    assert json.loads(record.message)["fault"] == "ValueError"


@pytest.fixture
def proposal_with():
    def made(text):
        service = create_app(Settings()).test_client()
        document = json.loads(service.get("/v1/examples/dwelling-service").data)
        document["project"]["reference"] = text
        document["project"]["annotations"] = {"owner": text}
        for circuit in document["panelboard"]["circuits"]:
            circuit["serves"] = text
        return json.dumps(document).encode()

    return made
