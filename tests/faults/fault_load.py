"""What the tests of faults share: load from many clients, the shipped nginx site in front, and patience."""

from __future__ import annotations

import http.client
import json
import shutil
import socket
import subprocess
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Self

from serving import Served

LIMIT_S = 60.0
SITE = Path(__file__).parents[2] / "deploy/nginx.conf"
EXAMPLES = Path(__file__).parents[2] / "fixtures/proposals"
PROPOSAL = (EXAMPLES / "dwelling-close-to-transformer.json").read_bytes()
JSON = {"Content-Type": "application/json"}
NDJSON = {"Content-Type": "application/x-ndjson"}


def until(holds: Callable[[], object], what: str) -> None:
    """Wait until something holds, for as long as a slow machine may need."""
    end = time.monotonic() + LIMIT_S
    while not holds():
        assert time.monotonic() < end, f"did not come about: {what}"
        time.sleep(0.05)


@dataclass(frozen=True)
class Told:
    """What became of one request: a status and a body that is whole, or how it failed."""

    status: int = 0
    body: bytes = b""
    headers: dict[str, str] = field(default_factory=dict)
    failed: str = ""


def ask(port: int, path: str = "/v1/validations", body: bytes | None = PROPOSAL, **headers: str) -> Told:
    """Send one request on a connection of its own."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=LIMIT_S)
    try:
        return sent(connection, path, body, **headers)
    finally:
        connection.close()


def sent(connection: http.client.HTTPConnection, path: str, body: bytes | None, **headers: str) -> Told:
    """Send one request and read the answer to its end."""
    try:
        connection.connect() if connection.sock is None else None
    except OSError as refused:
        return Told(failed=f"not connected: {type(refused).__name__}")
    try:
        connection.request("GET" if body is None else "POST", path, body, {**JSON, **headers})
        response = connection.getresponse()
        return Told(response.status, response.read(), {k.lower(): v for k, v in response.getheaders()})
    except (OSError, http.client.HTTPException) as broken:
        return Told(failed=f"broken: {type(broken).__name__}")


@dataclass
class Load:
    """Clients that ask one after another until they are told to stop; every second one keeps its connection."""

    port: int
    clients: int = 8
    path: str = "/v1/validations?detail=findings"
    body: bytes = PROPOSAL
    told: list[Told] = field(default_factory=list)
    _over: threading.Event = field(default_factory=threading.Event)

    def __enter__(self) -> Self:
        self._threads = [threading.Thread(target=self._ask, args=(n % 2 == 0,)) for n in range(self.clients)]
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        for thread in self._threads:
            thread.join()

    def _ask(self, keeps: bool) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=LIMIT_S)
        while not self._over.is_set():
            kept_one = connection.sock is not None
            told = sent(connection, self.path, self.body)
            if kept_one and told.failed:
                # A connection that waited may be closed at any time; a client sends once more on a new one
                # (RFC 9112, 9.3.1). What fails on a new one has failed.
                connection.close()
                told = sent(connection, self.path, self.body)
            self.told.append(told)
            if not keeps or told.failed or told.headers.get("connection") == "close":
                connection.close()
            if told.failed.startswith("not connected"):
                break
        connection.close()

    def statuses(self) -> Counter[int]:
        return Counter(told.status for told in list(self.told) if not told.failed)

    def failures(self) -> Counter[str]:
        return Counter(told.failed for told in list(self.told) if told.failed)

    def bodies(self) -> set[bytes]:
        return {told.body for told in list(self.told) if told.status == 200}

    def answered(self, more: int) -> None:
        """Wait until so many more are answered with 200."""
        wanted = self.statuses()[200] + more
        until(lambda: self.statuses()[200] >= wanted, f"{more} more answers; there are {self.statuses()}")


def workers_of(served: Served) -> list[int]:
    """Return the processes that the server has started and that still live."""
    children = Path(f"/proc/{served.process.pid}/task/{served.process.pid}/children").read_text().split()
    return sorted(int(pid) for pid in children)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@contextmanager
def nginx_before(folder: Path, ports: Sequence[int], **changed: str) -> Iterator[int]:
    """Run nginx with the shipped site before services at these ports; *changed* sets some of its timeouts."""
    nginx = shutil.which("nginx") or "/usr/sbin/nginx"
    port, site = free_port(), SITE.read_text("utf-8")
    site = site.replace("listen 80;", f"listen 127.0.0.1:{port};")
    for one in (ports * 2)[:2]:
        site = site.replace("127.0.0.1:8080", f"127.0.0.1:{one}", 1)
    assert "8080" not in site
    for name, value in changed.items():
        start = site.index(f"{name} ")
        site = site[:start] + f"{name} {value};" + site[site.index(";", start) + 1 :]
    folder.mkdir(exist_ok=True)
    kinds = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    places = "\n".join(f"{kind}_temp_path {folder}/{kind};" for kind in kinds)
    (folder / "nginx.conf").write_text(
        f"daemon off;\nmaster_process off;\npid {folder}/pid;\nerror_log {folder}/error.log;\n"
        f"events {{ worker_connections 512; }}\nhttp {{\naccess_log off;\n{places}\n{site}\n}}\n",
        "utf-8",
    )
    with (folder / "stderr").open("wb") as stderr:
        process = subprocess.Popen([nginx, "-c", str(folder / "nginx.conf")], stderr=stderr)
    try:
        until(lambda: process.poll() is not None or _listens(port), "nginx listens")
        assert process.poll() is None, (folder / "stderr").read_text()
        yield port
    finally:
        process.terminate()
        process.wait(timeout=LIMIT_S)


def _listens(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def raw(port: int, head: bytes, *, takes: int | None = None) -> socket.socket:
    """Connect and send; with *takes* the system takes only about so many bytes for us until we read."""
    connection = socket.socket()
    connection.settimeout(LIMIT_S)
    if takes is not None:
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, takes)
    connection.connect(("127.0.0.1", port))
    connection.sendall(head)
    return connection


def head(path: str, length: int, media_type: str = "application/json") -> bytes:
    return f"POST {path} HTTP/1.1\r\nHost: x\r\nContent-Type: {media_type}\r\nContent-Length: {length}\r\n\r\n".encode()


def open_files(pid: int) -> int:
    return len(list(Path(f"/proc/{pid}/fd").iterdir()))


def ready(port: int) -> dict[str, object]:
    told = ask(port, "/readyz", None)
    found: dict[str, object] = json.loads(told.body)
    return found
