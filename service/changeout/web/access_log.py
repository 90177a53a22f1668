"""One line of JSON for each request: how it went, never what it said."""

from __future__ import annotations

import json
import logging
import sys
import time
from contextlib import suppress
from typing import Final, TextIO

from flask import Flask, Response, g, request

from changeout.web.call import Judged
from changeout.web.metrics import UNMATCHED, Meters, bounded_method

_ACCESS: Final = logging.getLogger("changeout.access")


class _Lines(logging.StreamHandler[TextIO]):
    """Lines on a stream. That none can be written is said once on standard error; no request suffers from it."""

    _failing = False

    def emit(self, record: logging.LogRecord) -> None:
        """Write a line."""
        failed_before, self._failing = self._failing, False
        super().emit(record)
        if self._failing and not failed_before:
            with suppress(OSError):
                sys.stderr.write("The log cannot be written; requests are answered all the same.\n")
                sys.stderr.flush()

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: ARG002, N802 - as the library calls it
        """Note that a line could not be written; its text is told nowhere else."""
        self._failing = True


def log_to_stdout() -> None:
    """Send the lines of the access log and of faults to standard output."""
    handler = _Lines(sys.stdout)
    handler.setFormatter(logging.Formatter("%(message)s"))
    log = logging.getLogger("changeout")
    # Set, not added: the application may be loaded again.
    log.handlers = [handler]
    log.setLevel(logging.INFO)
    log.propagate = False


def register_access_log(app: Flask, meters: Meters) -> None:
    """Time each request of *app*, count it and write its line."""

    def start() -> None:
        g.started = time.perf_counter()
        g.judged = None
        g.problem_code = None
        g.request_bytes = 0

    def finish(response: Response) -> Response:
        started = g.started
        told = _told(response)
        if g.judged is not None:
            meters.count(g.judged.report)
        if g.problem_code is not None:
            meters.refusals.labels(g.problem_code).inc()

        def end() -> None:
            duration_s = time.perf_counter() - started
            route, method, status = str(told["route"]), str(told["method"]), str(told["status"])
            meters.requests.labels(route, method, status).inc()
            meters.seconds.labels(route, method).observe(duration_s)
            line = {"time": _utc(time.time()), **told, "duration_ms": round(duration_s * 1000, 2)}
            _ACCESS.info(json.dumps(line))

        if response.is_streamed:
            # Sent as it is made: over when all is sent, or when the caller has gone away.
            response.call_on_close(end)
        else:
            end()
        return response

    app.before_request(start)
    app.after_request(finish)


def _told(response: Response) -> dict[str, str | int | None]:
    """Return what the line says of a request, its times apart; what is streamed has no length to tell."""
    judged: Judged | None = g.judged
    return {
        "method": bounded_method(request.method),
        "route": request.url_rule.rule if request.url_rule is not None else UNMATCHED,
        "status": response.status_code,
        "decision_id": judged.decision_id if judged is not None else None,
        "verdict": judged.verdict if judged is not None else None,
        "edition": judged.edition if judged is not None else None,
        "problem": g.problem_code,
        "request_bytes": g.request_bytes,
        "response_bytes": None if response.is_streamed else response.calculate_content_length(),
        "request_id": g.request_id,
    }


def _utc(seconds: float) -> str:
    """Return the time as RFC 3339 in UTC, to the millisecond."""
    whole = time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(seconds))
    return f"{whole}.{int(seconds % 1 * 1000):03d}Z"
