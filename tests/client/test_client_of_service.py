"""The client against a running service, and against answers that a real one gives rarely."""

import http.server
import json
import threading

import pytest
import requests

from changeout.application.service import Service
from changeout.client import Client, ProblemError
from serving import serving

SERVICE = Service.load()
PROPOSAL = SERVICE.example("dwelling-service")


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    with serving(tmp_path_factory.mktemp("served")) as service:
        yield service


@pytest.fixture
def client(running):
    with Client(running.url) as made:
        yield made


@pytest.fixture
def scripted():
    """A server that gives the answers it is told to, in turn, and keeps what it was sent."""
    answers, received = [], []

    class Handler(http.server.BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_POST(self):
            received.append((self.path, self.rfile.read(int(self.headers["Content-Length"]))))
            status, headers, body = answers.pop(0)
            self.send_response(status)
            for name, value in {"Content-Length": str(len(body)), **headers}.items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_):
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}", answers, received
    server.shutdown()
    thread.join()
    server.server_close()


def problem(status, code):
    body = json.dumps({"type": f"/docs/problems#{code}", "title": "T", "status": status, "detail": "D", "code": code})
    return (status, {"Content-Type": "application/problem+json", "Retry-After": "0"}, body.encode())


def report():
    from changeout.render.report_json import report_bytes

    return (200, {"Content-Type": "application/json"}, report_bytes(SERVICE.validate(PROPOSAL)))


class TestAgainstTheService:
    @pytest.mark.parametrize("sent", [PROPOSAL, json.loads(PROPOSAL)], ids=["bytes", "values"])
    def test_a_report_comes_back_typed(self, client, sent):
        expected = SERVICE.validate(PROPOSAL)
        got = client.validate(sent)
        assert (got.decision_id, got.verdict, got.edition) == (expected.decision_id, expected.verdict, "2023")
        assert [f.rule for f in got.findings] == [f.rule for f in expected.findings]
        assert [f.outcome for f in got.findings] == [f.outcome.value for f in expected.findings]
        assert got.raw["changeout_report"] == 1

    def test_violations_are_at_hand(self, client):
        proposal = json.loads(PROPOSAL)
        proposal["panelboard"]["short_circuit_rating"] = "1 kA"
        got = client.validate(proposal)
        assert "short-circuit-rating-at-least-fault-current" in [f.rule for f in got.violations]
        assert all(f.section for f in got.violations)

    def test_edition_and_detail_are_sent(self, client):
        got = client.validate(PROPOSAL, edition="2017", detail="findings")
        assert got.edition == "2017"
        assert "calculations" not in got.raw

    def test_a_refusal_is_raised_with_its_members(self, client):
        with pytest.raises(ProblemError) as refused:
            client.validate({"changeout": 1})
        assert (refused.value.status, refused.value.code) == (422, "unreadable-proposal")
        assert refused.value.errors
        assert refused.value.type == "/docs/problems#unreadable-proposal"

    def test_calculations_and_editions(self, client):
        assert client.calculate("fault-current", PROPOSAL) == json.loads(
            json.dumps(SERVICE.calculate("fault-current", PROPOSAL))
        )
        assert client.editions() == SERVICE.editions()


class TestMany:
    def numbered(self, number):
        document = json.loads(PROPOSAL)
        document["project"]["reference"] = f"N-{number}"
        return document

    def told(self, answers):
        return [a.code if isinstance(a, ProblemError) else a.raw["project"]["reference"] for a in answers]

    def test_each_proposal_gets_its_answer_in_order(self, client):
        sent = [
            self.numbered(1),
            {"changeout": 1},
            json.dumps(self.numbered(2), indent=2).encode(),
            b"",
            b"{]",
            b'{"changeout": 1, "a\nb": 1}',
            self.numbered(3),
        ]
        refused = "unreadable-proposal"
        expected = ["N-1", refused, "N-2", refused, "malformed-json", "malformed-json", "N-3"]
        assert self.told(client.validate_many(sent, detail="findings")) == expected

    def test_many_are_sent_in_requests_that_cannot_block(self, client):
        proposals = (self.numbered(n) for n in range(60))
        assert self.told(client.validate_many(proposals, detail="findings")) == [f"N-{n}" for n in range(60)]

    def test_no_more_is_taken_than_is_asked_for(self, client):
        taken = []

        def proposals():
            for number in range(1000):
                taken.append(number)
                yield self.numbered(number)

        answers = client.validate_many(proposals(), detail="findings")
        assert next(answers).raw["project"]["reference"] == "N-0"
        answers.close()
        assert len(taken) < 30

    def test_nothing_in_nothing_out(self, client):
        assert list(client.validate_many([])) == []

    def test_the_connection_is_used_again(self, running):
        with Client(running.url) as client:
            for _ in range(3):
                assert len(list(client.validate_many([PROPOSAL, PROPOSAL], detail="findings"))) == 2
                client.editions()
            pools = client._session.get_adapter(running.url).poolmanager.pools
            (pool,) = (pools[key] for key in pools.keys())  # noqa: SIM118 (a container with no iterator of its own)
            assert (pool.num_connections, pool.num_requests) == (1, 6)

    def test_fewer_answers_than_proposals_is_no_success(self, scripted):
        url, answers, _ = scripted
        line = report()[2]
        answers += [(200, {"Content-Type": "application/x-ndjson"}, line + b"\n")]
        with Client(url) as client:
            many = client.validate_many([PROPOSAL, PROPOSAL])
            assert next(many).edition == "2023"
            with pytest.raises(ProblemError, match="1 answers came to 2 proposals"):
                next(many)

    def test_a_request_that_is_refused_whole_is_raised(self, scripted):
        url, answers, _ = scripted
        answers += [problem(503, "overloaded")]
        with Client(url, retries=0) as client, pytest.raises(ProblemError) as refused:
            list(client.validate_many([PROPOSAL]))
        assert refused.value.code == "overloaded"


class TestTrials:
    def test_compare(self, client):
        page = client.compare(PROPOSAL, editions=["2020", "2023"])
        assert [side["label"] for side in page["sides"]] == ["2020", "2023"]
        assert len(client.compare(json.loads(PROPOSAL))["sides"]) == len(SERVICE.editions())
        named = client.compare(PROPOSAL, jurisdictions=["demo-harbor-county"])
        assert [side["jurisdiction"] for side in named["sides"]] == ["demo-harbor-county"]

    def test_what_if(self, client):
        pointer = "/panelboard/short_circuit_rating"
        patched = client.what_if(PROPOSAL, patch=[{"op": "replace", "path": pointer, "value": "1 kA"}])
        assert patched["variants"][0]["verdict"] == "violations"
        swept = client.what_if(PROPOSAL, sweep=(pointer, ["1 kA", "22 kA"]), edition="2020")
        assert [v["value"] for v in swept["variants"]] == ["1 kA", "22 kA"]
        assert swept["edition"] == "2020"
        with pytest.raises(ProblemError):
            client.what_if(PROPOSAL)


def test_a_token_is_shown_and_no_password_of_the_machine(tmp_path, monkeypatch):
    (tmp_path / "netrc").write_text("machine 127.0.0.1 login someone password secret\n")
    monkeypatch.setenv("NETRC", str(tmp_path / "netrc"))
    with serving(tmp_path, environment={"CHANGEOUT_TOKEN": "t0ken"}) as guarded:
        with Client(guarded.url, token="t0ken") as client:
            assert client.editions() == SERVICE.editions()
        with Client(guarded.url) as client, pytest.raises(ProblemError) as refused:
            client.editions()
    assert (refused.value.status, refused.value.code) == (401, "unauthorized")
    assert "Authorization: Bearer TOKEN" in refused.value.detail


class TestAgainstRareAnswers:
    @pytest.mark.parametrize("status, code", [(429, "too-many-requests"), (503, "overloaded")])
    def test_a_busy_service_is_asked_again_with_the_same_request(self, scripted, status, code):
        url, answers, received = scripted
        answers += [problem(status, code), problem(status, code), report()]
        with Client(url) as client:
            assert client.validate(PROPOSAL).edition == "2023"
        assert received == [("/v1/validations", PROPOSAL)] * 3

    def test_a_service_that_stays_busy_is_told_of_in_the_end(self, scripted):
        url, answers, received = scripted
        answers += [problem(503, "overloaded")] * 3
        with Client(url, retries=2) as client, pytest.raises(ProblemError) as refused:
            client.validate(PROPOSAL)
        assert refused.value.code == "overloaded"
        assert len(received) == 3

    def test_other_statuses_are_not_asked_again(self, scripted):
        url, answers, received = scripted
        answers += [problem(500, "internal-error")]
        with Client(url) as client, pytest.raises(ProblemError):
            client.validate(PROPOSAL)
        assert len(received) == 1

    @pytest.mark.parametrize("status", [200, 502])
    @pytest.mark.parametrize("body", [b"<html>", b"[]", b'{"half": '])
    def test_an_answer_that_is_not_the_services_is_no_report(self, scripted, status, body):
        url, answers, _ = scripted
        answers += [(status, {"Content-Type": "text/html"}, body)]
        with Client(url) as client, pytest.raises(ProblemError) as refused:
            client.validate(PROPOSAL)
        assert (refused.value.status, refused.value.code) == (status, "not-from-the-service")

    def test_no_service_is_an_error_of_requests(self):
        with Client("http://127.0.0.1:9", retries=0) as client, pytest.raises(requests.ConnectionError):
            client.validate(PROPOSAL)

    def test_not_a_number_is_never_sent(self, scripted):
        url, _, received = scripted
        with Client(url) as client, pytest.raises(ValueError, match="JSON compliant"):
            client.validate({"changeout": float("nan")})
        assert received == []
