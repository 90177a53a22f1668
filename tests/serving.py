"""A running service for tests: ``changeout serve`` on a free port, and requests written byte by byte."""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

START_LIMIT_S = 60.0
END_LIMIT_S = 30.0
ANSWER_LIMIT_S = 20.0


@dataclass(frozen=True)
class Served:
    """Where a service listens, its process, and the files that hold its output."""

    port: int
    process: subprocess.Popen[bytes]
    out: Path
    err: Path

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def log(self) -> list[dict[str, Any]]:
        """Return the lines of the access log, read back."""
        return [json.loads(line) for line in self.out.read_text().splitlines()]


@contextmanager
def serving(
    folder: Path,
    *options: str,
    environment: Mapping[str, str] | None = None,
    before: Sequence[str] = (),
    out: Path | None = None,
) -> Iterator[Served]:
    """Start the service, with further variables in its environment, wait until it listens, and end it.

    *before* is a command that runs the rest as its own; *out* takes the log instead of a file in *folder*.
    """
    out, err = out or folder / "out", folder / "err"
    inherited = {k: v for k, v in os.environ.items() if not k.startswith(("CHANGEOUT_", "PROMETHEUS_"))}
    with out.open("wb") as stdout, err.open("wb") as stderr:
        process = subprocess.Popen(
            [
                *before,
                sys.executable,
                "-m",
                "changeout",
                "serve",
                "--bind",
                "127.0.0.1:0",
                *options,
            ],
            stdout=stdout,
            stderr=stderr,
            env={**inherited, **(environment or {})},
        )
    try:
        yield Served(_port(process, err), process, out, err)
    finally:
        process.terminate()
        try:
            process.wait(timeout=END_LIMIT_S)
        finally:
            process.kill()
            process.wait()


def _port(process: subprocess.Popen[bytes], err: Path) -> int:
    limit = time.monotonic() + START_LIMIT_S
    while time.monotonic() < limit and process.poll() is None:
        found = re.search(r"Listening at: http://127\.0\.0\.1:(\d+)", err.read_text())
        if found and "Booting worker" in err.read_text():
            return int(found[1])
        time.sleep(0.05)
    raise AssertionError(f"the service did not start: {err.read_text()}")


@dataclass(frozen=True)
class RawResponse:
    """A response as it came over the wire; header names in lower case."""

    status: int
    headers: dict[str, str] = field(default_factory=dict)
    body: bytes = b""

    def json(self) -> Any:
        return json.loads(self.body)


def exchange(port: int, sent: bytes, *, half_close: bool = False) -> RawResponse:
    """Send bytes and return the response. With *half_close* our side ends after them."""
    with socket.create_connection(("127.0.0.1", port), timeout=ANSWER_LIMIT_S) as connection:
        # The service may answer and close before it has read everything.
        with suppress(BrokenPipeError, ConnectionResetError):
            connection.sendall(sent)
        if half_close:
            connection.shutdown(socket.SHUT_WR)
        return _read(connection)


def _read(connection: socket.socket) -> RawResponse:
    received = b""
    while b"\r\n\r\n" not in received:
        received += _more(connection)
    head, _, body = received.partition(b"\r\n\r\n")
    first, *lines = head.decode("latin-1").split("\r\n")
    headers = {name.lower(): value.strip() for name, _, value in (line.partition(":") for line in lines)}
    while len(body) < int(headers.get("content-length", "0")):
        body += _more(connection)
    return RawResponse(int(first.split()[1]), headers, body)


def _more(connection: socket.socket) -> bytes:
    data = connection.recv(65536)
    if not data:
        raise AssertionError("the connection ended without a whole response")
    return data
