"""The worker process: gunicorn's threaded one, made to lose nothing that it took and to be held up by nobody.

What differs from gunicorn's own:

- A new connection waits for its first byte at the poller and holds no thread meanwhile.
- Told to stop, it takes what already waits in the listening queue, and answers that too.
- Told to stop while it is being made, it stops: gunicorn's own would miss that and be killed after its time.
- A lack of file descriptors is waited out; it does not end the process and what it is just answering.
- A response leaves in one piece where the system has room for it: a worker that is killed cuts none in the middle.
- The last look at a connection before it is closed happens in a thread, not in the loop that accepts.
"""

from __future__ import annotations

import ctypes
import errno
import os
import signal
import socket
import struct
import time
from concurrent.futures import Future
from contextlib import suppress
from functools import partial
from queue import SimpleQueue
from selectors import EVENT_READ
from typing import Any, Final

from gunicorn import util
from gunicorn.workers import gthread

from changeout.application.environment import STALL_VARIABLE, SettingsError
from changeout.application.garbage import sweep
from changeout.cli import meter_files

USUAL_STALL_S: Final = 20
_SHORT_OF: Final = frozenset({errno.EMFILE, errno.ENFILE, errno.ENOBUFS, errno.ENOMEM})
_ROOM_BYTES: Final = 1024 * 1024
"""What the system may hold of a response that nobody has read yet; more than any report takes."""

_STOPPING: Final = frozenset({signal.SIGTERM, signal.SIGINT, signal.SIGQUIT})
_ATTACH_FILTER: Final = 26
_RETURN_A_CONSTANT: Final = 6
"""Of Linux: the option SO_ATTACH_FILTER, and in a filter BPF_RET | BPF_K (linux/filter.h)."""

_SWEPT_EACH: Final = 200
"""After how many answers a worker looks for garbage."""

_BREATH_S: Final = 0.05
_FAREWELL_S: Final = 0.5


def when_ready(server: Any) -> None:  # noqa: ANN401 - gunicorn's arbiter
    """Cut connections on which no byte comes in or goes out for as long as the environment says.

    An accepted connection has these options from the socket that listened for it (Linux, socket(7)).

    Raises:
        SettingsError: if the environment names no whole number of seconds.
    """
    wait = struct.pack("ll", _stall_s(os.environ.get(STALL_VARIABLE, "")), 0)
    for listener in server.LISTENERS:
        for option in (socket.SO_RCVTIMEO, socket.SO_SNDTIMEO):
            listener.setsockopt(socket.SOL_SOCKET, option, wait)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, _ROOM_BYTES)
        # Closed by the first process only when the service ends, not when it loads again.
        listener.close = partial(_close_for_all, listener, os.getpid())


def _close_for_all(listener: Any, first: int) -> None:  # noqa: ANN401 - a socket, as gunicorn wraps it
    """Close *listener*; in the *first* process, let the system make no more connections on it for anybody before.

    What is connected by then is taken by the workers, each of which closes its own. A filter that drops every packet
    (socket(7)) concerns the listening socket alone, not the connections that came from it.
    """
    if os.getpid() == first:
        drop_all = ctypes.create_string_buffer(struct.pack("HBBI", _RETURN_A_CONSTANT, 0, 0, 0))
        with suppress(OSError):
            program = struct.pack("HL", 1, ctypes.addressof(drop_all))
            listener.setsockopt(socket.SOL_SOCKET, _ATTACH_FILTER, program)
    listener.sock.close()


def _stall_s(text: str) -> int:
    if not text:
        return USUAL_STALL_S
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= 3600):
        raise SettingsError(f"{STALL_VARIABLE} is a whole number of seconds from 1 to 3600, not {text!r}.")
    return int(text)


def post_fork(server: Any, worker: Any) -> None:  # noqa: ANN401 - gunicorn's arbiter and worker
    """Let a new worker know what it is told from now on, and give it its room to count in."""
    worker.told = server.SIG_QUEUE
    meter_files.post_fork(server, worker)


def post_request(worker: Any, _request: object, _environ: object, _response: object) -> None:  # noqa: ANN401 - as above
    """Look for garbage now and then. A request leaves some in circles (of its router), a report none."""
    worker.since_swept += 1
    if worker.since_swept >= _SWEPT_EACH:
        worker.since_swept = 0
        sweep()


class _Connection(socket.socket):
    """A connection that sends the head of a response together with what follows it."""

    _holds = False
    _head = b""

    def hold(self) -> None:
        """Keep back what is sent next."""
        self._holds, self._head = True, b""

    def release(self) -> None:
        """Send what is kept back, if anything is."""
        self._holds = False
        if self._head:
            head, self._head = self._head, b""
            super().sendall(head)

    def sendall(self, data: Any, flags: int = 0) -> None:  # noqa: ANN401 - as of the class above
        """Send all of *data*, or keep it back until there is more."""
        if self._holds:
            self._holds, self._head = False, bytes(data)
            return
        head, self._head = self._head, b""
        super().sendall(head + data if head else data, flags)


class Worker(gthread.ThreadWorker):  # type: ignore[misc]  # gunicorn's own way in: its worker, methods overridden
    """A threaded worker that keeps what it took."""

    sockets: list[Any]
    told: SimpleQueue[int]
    since_swept = 0
    _short = False

    def init_signals(self) -> None:
        """Take signals as a worker does; those that came since the fork went to the handler of the first process."""
        super().init_signals()
        while not self.told.empty():
            if self.told.get() in _STOPPING:
                self.alive = False

    def accept(self, listener: Any) -> None:  # noqa: ANN401 - a socket, as gunicorn wraps it
        """Take a connection and wait for its first byte without a thread."""
        try:
            self._take(listener)
        except (BlockingIOError, ConnectionAbortedError):
            return
        except OSError as lacking:
            if lacking.errno not in _SHORT_OF:
                raise
            self._wait_for_better(lacking)

    def set_accept_enabled(self, enabled: bool) -> None:
        """Begin or cease to accept; when told to stop, take first what has already been connected."""
        super().set_accept_enabled(enabled)
        if not self.alive:
            self._take_the_rest()

    def handle(self, conn: Any) -> Any:  # noqa: ANN401 - gunicorn's connection, and its three kinds of result
        """Answer a request. A connection that ends with it is closed here: its peer may take its time."""
        kept = super().handle(conn)
        if kept is False:
            util.close_graceful(conn.sock, timeout=_FAREWELL_S)
        return kept

    def handle_request(self, req: Any, conn: Any) -> Any:  # noqa: ANN401 - gunicorn's request and connection
        """Answer a request, head and body together."""
        conn.sock.hold()
        try:
            return super().handle_request(req, conn)
        finally:
            conn.sock.release()

    def finish_request(self, conn: Any, fs: Future[Any]) -> None:  # noqa: ANN401 - gunicorn's connection
        """Keep a connection, or count one less that is closed already."""
        if fs.exception() is None and fs.result() is False:
            self.nr_conns -= 1
            return
        super().finish_request(conn, fs)

    def _cap_keepalive(self, deadline: float) -> None:
        """Let idle connections wait no longer than this, those without a first byte too."""
        super()._cap_keepalive(deadline)
        for conn in self.pending_conns:
            conn.timeout = min(conn.timeout, deadline)

    def _take(self, listener: Any) -> None:  # noqa: ANN401 - a socket, as gunicorn wraps it
        """Take one connection.

        Raises:
            OSError: if there is none, or no means to take it.
        """
        accepted, address = listener.accept()
        client = _Connection(fileno=accepted.detach())
        self._short = False
        self.nr_conns += 1
        conn = gthread.TConn(self.cfg, client, address, listener.getsockname())
        conn.set_timeout()
        self.pending_conns.append(conn)
        self.poller.register(client, EVENT_READ, partial(self.on_pending_socket_readable, conn))

    def _take_the_rest(self) -> None:
        """Take all that is connected, then stop listening: who comes later is refused at once, not left hanging."""
        for listener in self.sockets:
            with suppress(OSError):
                while self.nr_conns < self.worker_connections:
                    self._take(listener)
            listener.close()
        self.sockets = []

    def _wait_for_better(self, lacking: OSError) -> None:
        if not self._short:
            self.log.warning("Cannot accept for now: %s", lacking)
        self._short = True
        time.sleep(_BREATH_S)
