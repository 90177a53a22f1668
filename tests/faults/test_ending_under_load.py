"""TERM while many ask: what was taken is answered in full, what comes later is refused at once."""

import json
import os
import signal
import socket
import time
from pathlib import Path
from queue import SimpleQueue

import pytest
from fault_load import LIMIT_S, PROPOSAL, Load, head, raw, until, workers_of

from changeout.cli.worker import Worker
from serving import serving


def all_of(connection):
    received = b""
    while data := connection.recv(65536):
        received += data
    return received


def check_whole(received):
    first, _, body = received.partition(b"\r\n\r\n")
    assert first.startswith(b"HTTP/1.1 200 ")
    length = int(first.lower().partition(b"content-length: ")[2].split(b"\r\n")[0])
    assert len(body) == length
    assert json.loads(body)["changeout_report"] == 1


@pytest.mark.parametrize("workers", ["1", "2"])
def test_every_request_that_was_taken_is_answered_and_none_by_half(tmp_path, workers):
    with serving(tmp_path, "--workers", workers) as served:
        with Load(served.port, clients=16) as load:
            load.answered(60)
            served.process.send_signal(signal.SIGTERM)
            assert served.process.wait(timeout=LIMIT_S) == 0
            # Every client ends by finding nobody there.
            until(lambda: sum(load.failures().values()) >= load.clients, "the last client to be refused")
        assert set(load.statuses()) == {200}
        assert len(load.bodies()) == 1
        # Between the last look at the queue and its end, the system may take one connection for a process.
        cut = {kind: n for kind, n in load.failures().items() if not kind.startswith("not connected: ")}
        assert sum(cut.values()) <= int(workers) - 1 or cut == {}, cut
        logged = [line for line in served.log() if line.get("route") == "/v1/validations"]
        assert len(logged) == load.statuses()[200] + sum(cut.values())


def test_what_is_connected_but_not_yet_taken_is_answered_too(tmp_path):
    with serving(tmp_path, "--threads", "1") as served:
        (worker,) = workers_of(served)
        stopped = False
        try:
            # The worker stands still, so the system alone takes these connections.
            os.kill(worker, signal.SIGSTOP)
            stopped = True
            waiting = [raw(served.port, head("/v1/validations", len(PROPOSAL)) + PROPOSAL) for _ in range(20)]
            served.process.send_signal(signal.SIGTERM)
            until(lambda: _stopping(served), "the end to begin")
            os.kill(worker, signal.SIGCONT)
            stopped = False
            for connection in waiting:
                check_whole(all_of(connection))
                connection.close()
            assert served.process.wait(timeout=LIMIT_S) == 0
        finally:
            if stopped:
                os.kill(worker, signal.SIGCONT)


def _stopping(served):
    return "Handling signal: term" in served.err.read_text()


def test_a_body_on_its_way_is_waited_for_and_new_connections_are_refused(tmp_path):
    with serving(tmp_path) as served, raw(served.port, head("/v1/validations", len(PROPOSAL))) as slow:
        slow.sendall(PROPOSAL[:100])
        until(lambda: _busy(served), "the request to be taken")
        served.process.send_signal(signal.SIGTERM)
        until(lambda: not _listens(served.port), "nobody to listen any more")
        slow.sendall(PROPOSAL[100:])
        check_whole(all_of(slow))
        assert served.process.wait(timeout=LIMIT_S) == 0


def _busy(served):
    (worker,) = workers_of(served)
    return len(list(Path(f"/proc/{worker}/task").iterdir())) > 1


def _listens(port):
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def test_idle_connections_do_not_delay_the_end(tmp_path):
    with serving(tmp_path) as served:
        idle = [raw(served.port, b"") for _ in range(5)]
        kept = [raw(served.port, b"GET /livez HTTP/1.1\r\nHost: x\r\n\r\n") for _ in range(5)]
        for connection in kept:
            assert connection.recv(65536).startswith(b"HTTP/1.1 200 ")
        served.process.send_signal(signal.SIGTERM)
        # Far from the 20 s that a request under way may take.
        assert served.process.wait(timeout=15) == 0
        for connection in (*idle, *kept):
            connection.close()


@pytest.mark.parametrize("after_s", [0.0, 0.05, 0.2])
def test_workers_that_are_just_being_made_end_too(tmp_path, after_s):
    """A worker that missed what it was told would be waited for, for the whole 20 s, and then killed."""
    with serving(tmp_path, "--workers", "2") as served:
        for worker in workers_of(served):
            os.kill(worker, signal.SIGKILL)
        time.sleep(after_s)
        served.process.send_signal(signal.SIGTERM)
        assert served.process.wait(timeout=15) == 0


def test_what_a_new_worker_was_told_before_it_could_listen_counts():
    told = SimpleQueue()
    worker = Worker.__new__(Worker)
    worker.told, worker.alive = told, True
    kept = {number: signal.getsignal(number) for number in Worker.SIGNALS}
    try:
        worker.PIPE = os.pipe()
        os.set_blocking(worker.PIPE[1], False)
        for number, alive in ((signal.SIGHUP, True), (signal.SIGTERM, False)):
            told.put(number)
            worker.init_signals()
            assert worker.alive is alive
    finally:
        signal.set_wakeup_fd(-1)
        for number, handler in kept.items():
            signal.signal(number, handler)
        for end in worker.PIPE:
            os.close(end)
