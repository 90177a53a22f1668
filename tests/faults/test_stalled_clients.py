"""Clients that stop reading or sending: they are cut, their work stops, and others are answered meanwhile."""

import re
import socket

import pytest
from fault_load import PROPOSAL, ask, head, raw, until, workers_of

from serving import serving

BATCH = "/v1/validations/batch"
LINE = b" ".join(PROPOSAL.split()) + b"\n"
STALL = ("--threads", "6", "--stall", "1")


def judged(port):
    text = ask(port, "/metrics", None).body.decode()
    return sum(float(n) for n in re.findall(r"^changeout_validations_total\{.*\} (\S+)$", text, re.MULTILINE))


def ended(connection):
    """Read until the service ends the connection; return what came."""
    received = b""
    try:
        while data := connection.recv(1 << 20):
            received += data
    except ConnectionResetError:
        pass
    return received


def test_clients_that_stop_reading_hold_no_thread_for_long_and_their_work_stops(tmp_path):
    lines = 400
    body = LINE * lines
    with serving(tmp_path, *STALL) as served:
        # More of them than there are threads.
        stalled = [raw(served.port, head(BATCH, len(body), "application/x-ndjson"), takes=4096) for _ in range(8)]
        for connection in stalled:
            connection.settimeout(0)
        _send_what_is_taken(stalled, body)
        assert ask(served.port).status == 200
        until(lambda: sum(line.get("route") == BATCH for line in served.log()) == 8, "all eight to be cut")
        # Nobody read more than a little: most of the lines were never judged.
        assert judged(served.port) < 8 * lines / 2
        assert ask(served.port).status == 200
        for connection in stalled:
            connection.close()


def _send_what_is_taken(connections, body):
    rest = dict.fromkeys(connections, 0)
    for _ in range(200):
        for connection in connections:
            try:
                rest[connection] += connection.send(body[rest[connection] : rest[connection] + 65536])
            except BlockingIOError:
                continue
            except OSError:
                return


@pytest.mark.parametrize("begun", [b"POST /v1/validations HTTP/1.1\r\nHos", head("/v1/validations", 5000) + b'{"a":'])
def test_clients_that_stop_sending_are_cut_and_others_are_answered(tmp_path, begun):
    with serving(tmp_path, *STALL) as served:
        workers = workers_of(served)
        stalled = [raw(served.port, begun) for _ in range(12)]
        assert ask(served.port).status == 200
        for connection in stalled:
            received = ended(connection)
            assert received == b"" or b"body-truncated" in received
            connection.close()
        assert ask(served.port).status == 200
        assert workers_of(served) == workers


def test_clients_that_connect_and_say_nothing_hold_nobody_up(tmp_path):
    with serving(tmp_path, "--threads", "2") as served:
        silent = [raw(served.port, b"") for _ in range(50)]
        for _ in range(5):
            assert ask(served.port).status == 200
        # They were answered while the others still waited, not after they had been let go.
        for connection in silent:
            connection.settimeout(0)
        assert sum(_still_open(connection) for connection in silent) > 0
        for connection in silent:
            connection.close()


def _still_open(connection):
    try:
        return connection.recv(1) != b""
    except BlockingIOError:
        return True


def test_clients_that_do_not_close_hold_nobody_up(tmp_path):
    with serving(tmp_path, "--threads", "4") as served:
        asked = b"GET /livez HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n"
        lingering = [raw(served.port, asked) for _ in range(20)]
        assert ask(served.port).status == 200
        for connection in lingering:
            assert ended(connection).startswith(b"HTTP/1.1 200 ")
            connection.close()


@pytest.mark.parametrize("ending", ["closed", "reset"])
def test_a_batch_whose_caller_has_gone_is_judged_no_further(tmp_path, ending):
    lines = 3000
    with serving(tmp_path, "--stall", "2") as served:
        connection = raw(served.port, head(BATCH, len(LINE) * lines, "application/x-ndjson"), takes=4096)
        connection.sendall(LINE * 40)
        connection.recv(64)
        if ending == "reset":
            connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\x01\0\0\0\x01\0\0\0")
        connection.close()
        until(lambda: any(line.get("route") == BATCH for line in served.log()), "the batch to end")
        after = judged(served.port)
        assert after <= 40
        assert ask(served.port).status == 200
