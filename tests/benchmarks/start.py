"""Starting: the processor time of loading, and how long it takes until the first answer."""

from __future__ import annotations

import http.client
import subprocess
import sys
import time

from aims import Figure
from servers import CHANGEOUT, cpu_seconds, started

from changeout.application.service import Service

_BARE = "import flask, marshmallow, pint"
_TIMED = "import time\n{}\nprint(time.process_time())"


def measured(service: Service, rounds: int) -> list[Figure]:
    """All figures of this kind."""
    runs = max(rounds // 3, 4)
    ours = min(_seconds_of("import changeout.wsgi") for _ in range(runs))
    bare = min(_seconds_of(_BARE) for _ in range(runs))
    body = service.example("dwelling-service")
    starts = [_to_first_answer(body) for _ in range(runs)]
    return [
        Figure(
            id="start",
            name="by the clock, from starting the command to the first report, over HTTP",
            value=min(clock_s for _, clock_s in starts),
            unit="s",
            most=1.5,
            beside={
                "cpu_s": round(min(cpu_s for cpu_s, _ in starts), 2),
                "loading_cpu_s": round(ours, 3),
                "bare_libraries_cpu_s": round(bare, 3),
                "loading_to_bare_libraries": round(ours / bare, 2),
            },
        )
    ]


def _seconds_of(code: str) -> float:
    done = subprocess.run([sys.executable, "-c", _TIMED.format(code)], capture_output=True, text=True, check=True)
    return float(done.stdout)


def _to_first_answer(body: bytes) -> tuple[float, float]:
    """How long a service takes until its first answer: of the processors, its processes together, and by the clock."""
    begun = time.perf_counter()
    with started(CHANGEOUT, wait=False) as server:
        while True:
            try:
                connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
                connection.request("POST", server.path, body, {"Content-Type": "application/json"})
                assert connection.getresponse().status == 200
            except ConnectionRefusedError:
                time.sleep(0.005)
            else:
                clock_s = time.perf_counter() - begun
                processes = [server.process, *server.workers()]
                return sum(cpu_seconds(process) for process in processes), clock_s
