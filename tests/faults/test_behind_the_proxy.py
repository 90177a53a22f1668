"""The shipped nginx site before the service: its timeouts, limits and what it passes on."""

import json
import os
import signal
import socket
import threading

from fault_load import LIMIT_S, PROPOSAL, ask, head, nginx_before, raw, until, workers_of

from serving import serving

BATCH = "/v1/validations/batch"


def test_slow_senders_wait_at_the_proxy_and_hold_no_thread(tmp_path):
    with (
        serving(tmp_path, "--threads", "2") as served,
        nginx_before(tmp_path / "nginx", [served.port], client_body_timeout="3s") as port,
    ):
        slow = [raw(port, head("/v1/validations", len(PROPOSAL)) + PROPOSAL[:50]) for _ in range(40)]
        for _ in range(5):
            assert ask(port).status == 200
        # One of them goes on and is answered; the others are told, or cut, when their time is over.
        slow[0].sendall(PROPOSAL[50:])
        assert slow[0].recv(65536).startswith(b"HTTP/1.1 200 ")
        for connection in slow[1:]:
            received = connection.recv(65536)
            assert received == b"" or received.startswith(b"HTTP/1.1 408 ")
        for connection in slow:
            connection.close()
        # None of the cut ones has reached the service.
        assert {line["status"] for line in served.log() if line.get("route") == "/v1/validations"} == {200}


def test_slow_heads_are_cut_by_the_proxy(tmp_path):
    with serving(tmp_path) as served, nginx_before(tmp_path / "n", [served.port], client_header_timeout="1s") as port:
        slow = raw(port, b"POST /v1/validations HTTP/1.1\r\nHo")
        received = slow.recv(65536)
        assert received == b"" or received.startswith(b"HTTP/1.1 408 ")
        slow.close()
        assert served.log() == []


def test_a_client_that_stops_reading_holds_no_thread_of_the_service(tmp_path):
    with serving(tmp_path, "--threads", "2") as served, nginx_before(tmp_path / "n", [served.port]) as port:
        body = head("/v1/validations", len(PROPOSAL)) + PROPOSAL
        stalled = [raw(port, body, takes=4096) for _ in range(10)]
        until(lambda: sum(line.get("status") == 200 for line in served.log()) == 10, "all ten to be judged")
        assert ask(port).status == 200
        for connection in stalled:
            connection.close()


def test_a_body_over_the_limit_is_refused_and_one_at_the_limit_is_taken(tmp_path):
    with serving(tmp_path) as served, nginx_before(tmp_path / "n", [served.port]) as port:
        whole = PROPOSAL + b" " * (1024 * 1024 - len(PROPOSAL))
        assert ask(port, body=whole).status == 200
        assert ask(port, body=whole + b" ").status == 413


def test_an_instance_that_stands_still_is_answered_for_by_the_other(tmp_path):
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    with (
        serving(tmp_path / "one") as one,
        serving(tmp_path / "two") as two,
        nginx_before(tmp_path / "n", [one.port, two.port], proxy_read_timeout="1s") as port,
    ):
        (still,) = workers_of(one)
        os.kill(still, signal.SIGSTOP)
        try:
            assert [ask(port).status for _ in range(4)] == [200] * 4
        finally:
            os.kill(still, signal.SIGCONT)


def test_with_no_instance_the_proxy_says_so_and_goes_on_when_there_is_one(tmp_path):
    (tmp_path / "one").mkdir()
    with serving(tmp_path / "one") as one, nginx_before(tmp_path / "n", [one.port]) as port:
        assert ask(port).status == 200
        one.process.terminate()
        one.process.wait(timeout=LIMIT_S)
        assert ask(port).status == 502
        (tmp_path / "two").mkdir()
        # The later option counts.
        with serving(tmp_path / "two", "--bind", f"127.0.0.1:{one.port}"):
            assert ask(port).status == 200


def test_answers_of_a_batch_come_as_they_are_made(tmp_path):
    line = b" ".join(PROPOSAL.split()) + b"\n"
    with serving(tmp_path) as served, nginx_before(tmp_path / "n", [served.port]) as port:
        answer = ask(port, BATCH, line * 20, **{"Content-Type": "application/x-ndjson"})
        assert answer.status == 200
        assert [json.loads(one)["changeout_report"] for one in answer.body.splitlines()] == [1] * 20


def test_a_request_is_known_by_one_id_in_both_logs_and_meters_are_for_this_machine(tmp_path):
    with serving(tmp_path) as served, nginx_before(tmp_path / "n", [served.port]) as port:
        given = ask(port, **{"X-Request-Id": "mine"}).headers["x-request-id"]
        assert given in {line["request_id"] for line in served.log()}
        assert ask(port, "/metrics", None).status == 200
        with socket.create_connection(("127.0.0.1", port), timeout=20, source_address=("127.0.0.2", 0)) as other:
            other.sendall(b"GET /metrics HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
            assert other.recv(65536).startswith(b"HTTP/1.1 403 ")


def test_the_service_ends_without_loss_behind_the_proxy_when_another_is_there(tmp_path):
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    with (
        serving(tmp_path / "one") as one,
        serving(tmp_path / "two") as two,
        nginx_before(tmp_path / "n", [one.port, two.port]) as port,
    ):
        told = []
        threads = [threading.Thread(target=lambda: told.extend(ask(port) for _ in range(15))) for _ in range(6)]
        for thread in threads:
            thread.start()
        until(lambda: len(told) > 10, "some answers")
        one.process.send_signal(signal.SIGTERM)
        for thread in threads:
            thread.join()
        assert {(t.status, t.failed) for t in told} == {(200, "")}
        assert one.process.wait(timeout=LIMIT_S) == 0
