"""The servers under load: the service, and a plain view under the same gunicorn settings; and who sends to them."""

from __future__ import annotations

import contextlib
import http.client
import os
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
CHANGEOUT = "changeout"
PLAIN = "plain"
HEADERS = {"Content-Type": "application/json", "Accept": "application/json"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Server:
    """A server that listens: where, where proposals go, and its first process."""

    port: int
    path: str
    process: int

    def workers(self) -> list[int]:
        """The processes that answer: the children of the first."""
        listed = Path(f"/proc/{self.process}/task/{self.process}/children").read_text().split()
        return [int(one) for one in listed]


@contextlib.contextmanager
def started(name: str, *, cores: set[int] | None = None, workers: int = 1, wait: bool = True) -> Iterator[Server]:
    """Start a server on a free port, held to *cores*, and end it afterwards."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    bind = ["--bind", f"127.0.0.1:{port}", "--workers", str(workers)]
    serve = [sys.executable, "-m", "changeout", "serve", *bind]
    plain = [sys.executable, "-m", "gunicorn", "--config", "python:changeout.cli.gunicorn_settings", *bind, "plain:app"]
    with Path(os.devnull).open("wb") as nowhere:
        process = subprocess.Popen(
            serve if name == CHANGEOUT else plain,
            stdout=nowhere,
            stderr=nowhere,
            cwd=HERE,
            env={**os.environ, "PYTHONPATH": os.pathsep.join([str(HERE), os.environ.get("PYTHONPATH", "")])},
            preexec_fn=(lambda: os.sched_setaffinity(0, cores)) if cores else None,  # noqa: PLW1509 (no threads yet)
        )
    server = Server(port=port, path="/v1/validations" if name == CHANGEOUT else "/", process=process.pid)
    try:
        if wait:
            _wait(port)
        yield server
    finally:
        process.terminate()
        process.wait(timeout=30)


def _wait(port: int) -> None:
    limit = time.monotonic() + 30
    while time.monotonic() < limit:
        try:
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
            connection.request("GET", "/livez")
            connection.getresponse().read()
        except OSError:
            time.sleep(0.02)
        else:
            return
    raise TimeoutError("the server did not start")


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What came of requests: how long each took, all together, and the processor time of the workers, in seconds."""

    taken: list[float]
    wall_s: float
    cpu_s: float

    @property
    def rate(self) -> float:
        """Requests in a second of the clock."""
        return len(self.taken) / self.wall_s

    @property
    def rate_of_core(self) -> float:
        """Requests in a second of a core that does nothing else: other work on the machine does not count."""
        return len(self.taken) / self.cpu_s

    def percentile(self, share: float) -> float:
        return sorted(self.taken)[min(int(share * len(self.taken)), len(self.taken) - 1)]


def sent(
    server: Server, bodies: Sequence[bytes], requests: int, connections: int = 2, *, get: str | None = None
) -> Load:
    """Send so many requests, each connection its next one as soon as it has an answer; all must be answered with 200."""
    taken: list[list[float]] = [[] for _ in range(connections)]
    failures: list[Exception] = []

    def send(place: int) -> None:
        try:
            connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
            for number in range(place, requests, connections):
                begun = time.perf_counter()
                if get is None:
                    connection.request("POST", server.path, bodies[number % len(bodies)], HEADERS)
                else:
                    connection.request("GET", get)
                response = connection.getresponse()
                answer = response.read()
                taken[place].append(time.perf_counter() - begun)
                assert response.status == 200, answer[:300]
        except (OSError, http.client.HTTPException, AssertionError) as failure:
            failures.append(failure)

    threads = [threading.Thread(target=send, args=(place,)) for place in range(connections)]
    workers = server.workers()
    before = sum(cpu_seconds(worker) for worker in workers)
    begun = time.perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if failures:
        raise failures[0]
    wall_s = time.perf_counter() - begun
    cpu_s = sum(cpu_seconds(worker) for worker in workers) - before
    return Load(taken=[one for each in taken for one in each], wall_s=wall_s, cpu_s=cpu_s)


def megabytes(process: int, what: str = "Rss") -> float:
    """The memory of a process: ``Rss``, or ``Pss`` that shares what is shared among those that share it."""
    lines = Path(f"/proc/{process}/smaps_rollup").read_text().splitlines()
    return next(float(line.split()[1]) / 1024 for line in lines if line.startswith(f"{what}:"))


def cpu_seconds(process: int) -> float:
    """The processor time that a process has used so far."""
    user, system = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[11:13]
    return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")
