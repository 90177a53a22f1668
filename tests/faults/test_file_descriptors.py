"""Too few file descriptors: connections wait, none of those taken is lost, and no worker ends."""

import http.client
import re
import resource
import subprocess
import sys

from fault_load import JSON, PROPOSAL, ask, open_files, raw, until, workers_of

from serving import serving


def limited(files):
    return ("prlimit", f"--nofile={files}:{files}")


def test_more_connections_than_files_wait_until_there_is_room(tmp_path):
    with serving(tmp_path, "--threads", "8", before=limited(96)) as served:
        workers = workers_of(served)
        # 96 files leave 32 connections; the system holds the others in its queue.
        idle = [raw(served.port, b"") for _ in range(150)]
        asked = raw(served.port, b"GET /livez HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
        until(lambda: open_files(workers[0]) > 40, "connections to be taken")
        for connection in idle:
            connection.close()
        assert asked.recv(65536).startswith(b"HTTP/1.1 200 ")
        asked.close()
        assert ask(served.port).status == 200
        assert workers_of(served) == workers
        assert "Too many open files" not in served.err.read_text()


def test_idle_connections_give_way_to_who_waits(tmp_path):
    with serving(tmp_path, "--threads", "8", before=limited(96)) as served:
        idle = [raw(served.port, b"") for _ in range(40)]
        # They say nothing and stay; after the time for that they are let go.
        assert ask(served.port).status == 200
        for connection in idle:
            connection.close()


def test_running_out_ends_neither_the_worker_nor_what_it_answers(tmp_path):
    with serving(tmp_path) as served:
        (worker,) = workers_of(served)
        kept = http.client.HTTPConnection("127.0.0.1", served.port, timeout=60)

        def judged():
            kept.request("POST", "/v1/validations", PROPOSAL, JSON)
            response = kept.getresponse()
            return response.status, response.read()

        right = judged()
        before = resource.prlimit(worker, resource.RLIMIT_NOFILE)
        resource.prlimit(worker, resource.RLIMIT_NOFILE, (open_files(worker), before[1]))
        waiting = raw(served.port, b"GET /livez HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
        until(lambda: "Too many open files" in served.err.read_text(), "the lack to be noticed")
        # To judge opens no file.
        for _ in range(3):
            assert judged() == right
        resource.prlimit(worker, resource.RLIMIT_NOFILE, before)
        assert waiting.recv(65536).startswith(b"HTTP/1.1 200 ")
        waiting.close()
        kept.close()
        assert workers_of(served) == [worker]
        # Said once, not at every try.
        assert len(re.findall("Too many open files", served.err.read_text())) == 1


def test_too_few_files_for_its_threads_are_told_at_the_start():
    done = subprocess.run(
        [*limited(80), sys.executable, "-m", "changeout", "serve", "--bind", "127.0.0.1:0", "--threads", "32"],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 2
    assert "80 open files are allowed, too few for 32 threads" in done.stderr
