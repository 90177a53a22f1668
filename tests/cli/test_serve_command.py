"""``changeout serve``: it answers, it ends gracefully, and it leaves nothing behind."""

import signal
import socket
import time

import pytest
import requests
from click.testing import CliRunner

from changeout.application.environment import STALL_VARIABLE
from changeout.cli import main
from serving import serving


def test_it_ends_when_told_to_and_finishes_what_it_began(tmp_path):
    with serving(tmp_path, "--threads", "2") as running:
        assert requests.get(f"{running.url}/readyz", timeout=10).json()["status"] == "ready"
        running.process.send_signal(signal.SIGTERM)
        assert running.process.wait(timeout=20) == 0


def test_the_control_socket_is_off(tmp_path):
    with serving(tmp_path) as running:
        assert requests.get(f"{running.url}/livez", timeout=10).status_code == 200
    assert "ontrol" not in running.err.read_text()


def test_a_request_on_its_way_is_answered_while_the_service_ends(tmp_path):
    with serving(tmp_path) as running, socket.create_connection(("127.0.0.1", running.port), timeout=20) as slow:
        body = b"[" * 8
        head = (
            b"POST /v1/validations HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 8\r\n\r\n"
        )
        slow.sendall(head + body[:4])
        time.sleep(0.3)
        running.process.send_signal(signal.SIGTERM)
        time.sleep(0.3)
        slow.sendall(body[4:])
        assert slow.recv(65536).startswith(b"HTTP/1.1 400 ")
        assert running.process.wait(timeout=20) == 0


def test_workers_leave_no_folder_of_meters(tmp_path, monkeypatch):
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    with serving(tmp_path, "--workers", "2") as running:
        requests.get(f"{running.url}/livez", timeout=10)
        assert list(tmp_path.glob("changeout-meters-*"))
        running.process.send_signal(signal.SIGTERM)
        running.process.wait(timeout=20)
    assert not list(tmp_path.glob("changeout-meters-*"))


def test_a_folder_of_local_rulesets_is_served(tmp_path):
    (tmp_path / "local").mkdir()
    (tmp_path / "local" / "heron-point.toml").write_text(
        """
[jurisdiction]
id = "heron-point"
name = "Heron Point"
note = "Invented for a test."

[[adoption]]
edition = "2020"
from = 2022-01-01
event = "application-filed"
reference = "an invented ordinance"
source = "invented"
"""
    )
    with serving(tmp_path, "--jurisdictions", str(tmp_path / "local")) as running:
        ids = [j["id"] for j in requests.get(f"{running.url}/v1/jurisdictions", timeout=10).json()["jurisdictions"]]
        assert "heron-point" in ids
        assert requests.get(f"{running.url}/v1/jurisdictions/heron-point", timeout=10).json()["name"] == "Heron Point"


@pytest.mark.parametrize(
    "bind",
    [
        "127.0.0.1:65536",
        "127.0.0.1:-1",
        "127.0.0.1:eighty",
        "[::1",
        "no-such-host.invalid:8000",  # RFC 2606: no name under .invalid ever has an address
        "a" * 64 + ".invalid:8000",
    ],
)
def test_a_place_that_there_is_not_is_told_at_once(bind):
    told = CliRunner().invoke(main, ["serve", "--bind", bind])
    assert told.exit_code == 2
    assert "Invalid value for '--bind'" in told.output
    assert "Traceback" not in told.output


def test_the_highest_port_and_any_host_are_places(monkeypatch):
    monkeypatch.setattr("gunicorn.app.base.BaseApplication.run", lambda _: None)
    monkeypatch.setenv(STALL_VARIABLE, "20")
    for bind in ("127.0.0.1:65535", ":8000", "[::1]:8000", "unix:/tmp/any.sock", "localhost:8000"):
        assert CliRunner().invoke(main, ["serve", "--bind", bind]).exit_code == 0, bind
