"""Over HTTP: the rate beside a plain view's, how even the answers are, memory, and what a replica's rate follows from.

The server has one core to itself and the sender another, where there are two.
"""

from __future__ import annotations

import json
import os
import time

from aims import Figure
from capacity import Costs, requests_per_second
from proposals import CIRCUITS, dwelling, dwellings
from servers import CHANGEOUT, PLAIN, Load, Server, megabytes, sent, started

from changeout.application.service import Service

WARM = 40
SETTLING = 2000
AT_ONCE_WHILE_SETTLING = 16


def measured(service: Service, requests: int, validation_s: float) -> list[Figure]:
    """All figures of this kind; *validation_s* is the processor time of a validation in process."""
    bodies = dwellings(service, 50)
    serving, sending = _cores()
    with started(CHANGEOUT, cores=serving) as ours, started(PLAIN, cores=serving) as theirs, _held_to(sending):
        loads = _in_turns(ours, theirs, bodies, requests)
        overhead_s = _overhead(ours, bodies)
        memory = [megabytes(process) for process in ours.workers()]
        shared = [megabytes(process, "Pss") for process in ours.workers()]
    mine, plain = loads
    predicted = requests_per_second(Costs(validation_s=validation_s, overhead_s=overhead_s), cores=1)
    off = abs(predicted / mine.rate_of_core - 1)
    return [
        Figure(
            id="rate",
            name="requests per second of a core, times those of a plain view that parses and serialises the same",
            value=mine.rate_of_core / plain.rate_of_core,
            least=0.5,
            beside={
                "per_second": round(mine.rate_of_core, 1),
                "plain_per_second": round(plain.rate_of_core, 1),
                "per_second_of_the_clock": round(mine.rate, 1),
                "plain_per_second_of_the_clock": round(plain.rate, 1),
                "workers": 1,
            },
        ),
        Figure(
            id="evenness",
            name="p99 of the answers over HTTP, times their p50",
            value=mine.percentile(0.99) / mine.percentile(0.5),
            most=5,
            beside={f"p{share}_ms": round(1e3 * mine.percentile(share / 100), 1) for share in (50, 90, 99)},
        ),
        Figure(
            id="memory",
            name="memory of a worker after the load, all that it shares included",
            value=max(memory),
            unit="MB",
            most=80,
            beside={"rss_mb": [round(m, 1) for m in memory], "pss_mb": [round(m, 1) for m in shared]},
        ),
        Figure(
            id="prediction",
            name="how far the capacity sheet's rate for this machine is from the measured one",
            value=100 * off,
            unit="%",
            most=20,
            beside={
                "predicted_per_second": round(predicted, 1),
                "measured_per_second": round(mine.rate_of_core, 1),
                "overhead_ms": round(1e3 * overhead_s, 2),
            },
        ),
    ]


def soak(service: Service, requests: int) -> Figure:
    """Memory of the workers over many requests: the growth from a tenth of them to the end.

    Nine of ten proposals have three circuits, so that many requests take less time; the tenth has all. Before, more
    full proposals at once than any later: else a worker grows whenever chance sends it more at once than ever before,
    which is no leak.
    """
    bodies = [
        json.dumps(dwelling(service, variant, CIRCUITS if variant % 10 == 0 else 3)).encode() for variant in range(1000)
    ]
    seen: list[tuple[int, float]] = []
    with started(CHANGEOUT, workers=2) as server:
        sent(server, dwellings(service, 50), SETTLING, connections=AT_ONCE_WHILE_SETTLING)
        assert len(server.workers()) == 2
        begun = time.monotonic()
        for _ in range(10):
            sent(server, bodies, requests // 10, connections=4)
            seen.append((len(seen) + 1, sum(megabytes(process) for process in server.workers())))
        taken = time.monotonic() - begun
    return Figure(
        id="flat",
        name="memory of all workers at the end, times that after a tenth of the requests",
        value=seen[-1][1] / seen[0][1],
        most=1.02,
        beside={"requests": requests, "seconds": round(taken), "rss_mb_each_tenth": [round(m, 1) for _, m in seen]},
    )


def _cores() -> tuple[set[int] | None, set[int] | None]:
    cores = sorted(os.sched_getaffinity(0))
    return ({cores[0]}, {cores[-1]}) if len(cores) > 1 else (None, None)


class _held_to:  # noqa: N801 (reads as a statement)
    """Holds the sender to cores while it sends."""

    def __init__(self, cores: set[int] | None) -> None:
        self.cores, self.before = cores, os.sched_getaffinity(0)

    def __enter__(self) -> None:
        if self.cores:
            os.sched_setaffinity(0, self.cores)

    def __exit__(self, *_: object) -> None:
        os.sched_setaffinity(0, self.before)


def _in_turns(ours: Server, theirs: Server, bodies: list[bytes], requests: int) -> tuple[Load, Load]:
    """The load of both, each sent in five parts that take turns."""
    for server in (ours, theirs):
        sent(server, bodies, WARM)
    parts: tuple[list[Load], list[Load]] = ([], [])
    for _ in range(5):
        for place, server in enumerate((ours, theirs)):
            parts[place].append(sent(server, bodies, requests // 5))
    first, second = (
        Load(
            taken=[one for part in each for one in part.taken],
            wall_s=sum(part.wall_s for part in each),
            cpu_s=sum(part.cpu_s for part in each),
        )
        for each in parts
    )
    return first, second


def _overhead(server: Server, bodies: list[bytes]) -> float:
    """The processor time of a request of which nothing is judged, in seconds."""
    load = sent(server, bodies, 600, get="/livez")
    return load.cpu_s / len(load.taken)
