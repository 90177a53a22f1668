"""The optional token, the gate before judging, and the settings they come from."""

import json
import os
import subprocess
import sys
import threading

import pytest

from changeout.domain.problems import Refusal
from changeout.web.app import create_app
from changeout.web.gate import Gate
from changeout.web.settings import Settings, SettingsError
from serving import exchange, serving

TOKEN = "a-Token_of.length~32/0123456789+="


class TestToken:
    @pytest.fixture
    def guarded(self, service):
        return create_app(Settings(token=TOKEN), service).test_client()

    def test_the_right_one_is_let_in(self, guarded, proposal):
        for scheme in ("Bearer", "bearer"):
            headers = {"Authorization": f"{scheme} {TOKEN}"}
            assert guarded.get("/v1/editions", headers=headers).status_code == 200
            sent = {"data": proposal, "content_type": "application/json"}
            assert guarded.post("/v1/validations", headers=headers, **sent).status_code == 200

    def test_none_is_asked_for(self, guarded):
        response = guarded.get("/v1/editions")
        assert (response.status_code, response.json["code"]) == (401, "unauthorized")
        assert response.headers["WWW-Authenticate"] == 'Bearer realm="changeout"'
        assert response.headers["X-Request-Id"]
        assert response.headers["Cache-Control"] == "no-store"

    @pytest.mark.parametrize(
        "given",
        ["Bearer", "Bearer ", f"Bearer {TOKEN}x", f"Bearer {TOKEN[:-1]}", f"Basic {TOKEN}", TOKEN, "Bearer \xe9"],
    )
    def test_a_wrong_one_is_refused(self, guarded, given):
        response = guarded.get("/v1/editions", headers={"Authorization": given})
        assert response.status_code == 401
        assert 'error="invalid_token"' in response.headers["WWW-Authenticate"]
        assert TOKEN not in response.text

    def test_it_is_asked_before_anything_else_is_told(self, guarded):
        assert guarded.post("/v1/validations", data=b"{").status_code == 401
        assert guarded.get("/v1/nothing").status_code == 401
        assert guarded.delete("/v1/editions").status_code == 401

    @pytest.mark.parametrize("path", ["/livez", "/readyz", "/metrics", "/docs", "/docs/problems", "/openapi.json"])
    def test_probes_and_pages_are_open(self, guarded, path):
        assert guarded.get(path).status_code == 200

    def test_it_is_not_shown_with_the_settings(self):
        assert TOKEN not in repr(Settings(token=TOKEN))

    def test_a_served_one_comes_from_the_environment(self, tmp_path):
        with serving(tmp_path, environment={"CHANGEOUT_TOKEN": TOKEN}) as running:
            ask = b"GET /v1/editions HTTP/1.1\r\nHost: x\r\n%b\r\n"
            assert exchange(running.port, ask % b"").status == 401
            assert exchange(running.port, ask % f"Authorization: Bearer {TOKEN}\r\n".encode()).status == 200
        assert TOKEN not in running.out.read_text() + running.err.read_text()


class _Slow:
    """The service, but each judgement waits until it is let go."""

    def __init__(self, service):
        self._service = service
        self.begun = threading.Semaphore(0)
        self.let_go = threading.Event()

    def __getattr__(self, name):
        return getattr(self._service, name)

    def report_on(self, *arguments, **options):
        self.begun.release()
        assert self.let_go.wait(20)
        return self._service.report_on(*arguments, **options)


class TestGate:
    def _together(self, app, number, proposal, done):
        def ask():
            sent = {"data": proposal, "content_type": "application/json"}
            response = app.test_client().post("/v1/validations?detail=findings", **sent)
            done.append(response)

        threads = [threading.Thread(target=ask) for _ in range(number)]
        for thread in threads:
            thread.start()
        return threads

    def test_what_is_one_too_many_is_turned_away_and_the_others_are_answered(self, service, proposal):
        slow, done = _Slow(service), []
        app = create_app(Settings(at_once=1, waiting=1, patience_s=20), slow)
        threads = self._together(app, 5, proposal, done)
        assert slow.begun.acquire(timeout=20)
        for _ in range(400):
            if len(done) == 3:
                break
            threading.Event().wait(0.05)
        turned_away = list(done)
        assert [r.status_code for r in turned_away] == [503] * 3
        for response in turned_away:
            assert response.json["code"] == "overloaded"
            assert response.headers["Retry-After"] == "1"
        # Nobody waits behind the gate for what does not judge.
        assert app.test_client().get("/livez").status_code == 200
        assert app.test_client().get("/v1/editions").status_code == 200
        slow.let_go.set()
        for thread in threads:
            thread.join()
        assert sorted(r.status_code for r in done) == [200, 200, 503, 503, 503]

    def test_a_wait_that_is_too_long_ends(self, service, proposal):
        slow, done = _Slow(service), []
        app = create_app(Settings(at_once=1, waiting=5, patience_s=0.1), slow)
        threads = self._together(app, 3, proposal, done)
        for _ in range(400):
            if len(done) == 2:
                break
            threading.Event().wait(0.05)
        assert [r.status_code for r in list(done)] == [503, 503]
        slow.let_go.set()
        for thread in threads:
            thread.join()
        assert sorted(r.status_code for r in done) == [200, 503, 503]

    def test_a_place_is_given_back_whatever_happens(self):
        gate = Gate(at_once=1, waiting=0, patience_s=0)
        for _ in range(3):
            with pytest.raises(ArithmeticError), gate.passed():
                raise ArithmeticError
        with gate.passed():
            with pytest.raises(Refusal) as refused, gate.passed():
                pass
            assert refused.value.problem.code == "overloaded"
        with gate.passed():
            pass


class TestSettings:
    def test_the_environment_makes_them(self, tmp_path):
        made = Settings.from_environment(
            {
                "CHANGEOUT_JURISDICTIONS": str(tmp_path),
                "CHANGEOUT_TOKEN": "t",
                "CHANGEOUT_AT_ONCE": "2",
                "CHANGEOUT_WAITING": "0",
                "CHANGEOUT_PATIENCE_SECONDS": "0.5",
                "CHANGEOUT_BATCH_LINES": "7",
            }
        )
        assert made == Settings(jurisdictions=tmp_path, token="t", at_once=2, waiting=0, patience_s=0.5, batch_lines=7)

    def test_what_is_empty_is_as_if_not_there(self):
        names = ("JURISDICTIONS", "TOKEN", "AT_ONCE", "WAITING", "PATIENCE_SECONDS", "BATCH_LINES")
        assert Settings.from_environment({f"CHANGEOUT_{name}": "" for name in names}) == Settings()

    @pytest.mark.parametrize(
        "name, value",
        [
            ("AT_ONCE", "0"),
            ("AT_ONCE", "two"),
            ("AT_ONCE", "\u0663"),
            ("AT_ONCE", "9" * 30),
            ("WAITING", "-1"),
            ("BATCH_LINES", "1.5"),
            ("PATIENCE_SECONDS", "nan"),
            ("PATIENCE_SECONDS", "-1"),
            ("PATIENCE_SECONDS", "soon"),
            ("TOKEN", "two words"),
            ("TOKEN", "caf\xe9"),
        ],
    )
    def test_what_cannot_be_taken_names_the_variable(self, name, value):
        with pytest.raises(SettingsError, match=f"CHANGEOUT_{name} "):
            Settings.from_environment({f"CHANGEOUT_{name}": value})

    def test_a_token_is_not_shown_when_it_cannot_be_taken(self):
        with pytest.raises(SettingsError) as refused:
            Settings.from_environment({"CHANGEOUT_TOKEN": "two words"})
        assert "two words" not in str(refused.value)

    def test_the_command_says_so_and_does_not_start(self):
        done = subprocess.run(
            [sys.executable, "-m", "changeout", "serve", "--bind", "127.0.0.1:0"],
            env={**os.environ, "CHANGEOUT_AT_ONCE": "none"},
            capture_output=True,
            text=True,
            timeout=30,
            check=False,
        )
        assert done.returncode == 2
        assert "CHANGEOUT_AT_ONCE is a whole number" in done.stderr
        assert "Traceback" not in done.stderr


def test_the_document_tells_that_a_token_may_be_asked_for(client):
    document = client.get("/openapi.json").json
    assert document["components"]["securitySchemes"] == {
        "bearer": {
            "type": "http",
            "scheme": "bearer",
            "description": "Where the service is set up to ask for one.",
        }
    }
    for path, methods in document["paths"].items():
        for described in methods.values():
            assert ("401" in described["responses"]) == path.startswith("/v1/")
    assert json.dumps(document["paths"]["/v1/editions"]["get"]["security"]) == '[{}, {"bearer": []}]'
