"""What hostile requests cost over a normal one of the same size, in time and in memory: a table, or ``--json``.

Usage: python tests/benchmarks/hostile.py [--json] [--runs N]

A normal request of the same size is a proposal that is judged, padded with blanks to that size: the cheapest body of
that size that is answered with a report. For what-if and comparisons it is one with a patch or with two editions.
The processor's time is measured, not the clock's; the least of the runs is told. Exits 1 where one costs more than
``MOST`` times the normal one.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "hostile"))

from hostile_inputs import MOST as MOST_BYTES
from hostile_inputs import PROPOSAL, WHOLE, Hostile, corpus, texts

from changeout.web.app import create_app
from changeout.web.settings import Settings

MOST = 20.0
"""Times a normal request of the same size: the most that a hostile one may cost."""

SHOWN = 15
PATCH = [{"op": "replace", "path": "/panelboard/short_circuit_rating", "value": "22 kA"}]
NORMAL = {
    "/v1/validations": WHOLE,
    "/v1/what-if": json.dumps({"proposal": PROPOSAL, "patch": PATCH}).encode(),
    "/v1/comparisons": json.dumps({"proposal": PROPOSAL, "editions": ["2020", "2023"]}).encode(),
}


def least(work: Callable[[], object], runs: int) -> float:
    """Return the least processor time of so many runs, in seconds."""
    found = []
    for _ in range(runs):
        began = time.process_time()
        work()
        found.append(time.process_time() - began)
    return min(found)


def peak(work: Callable[[], object]) -> int:
    """Return how many bytes Python holds at once for it."""
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def measured(runs: int, *, memory: bool) -> list[dict[str, Any]]:
    """Measure every request of the corpus; the costliest first."""
    client = create_app(Settings(patience_s=60)).test_client()

    def send(path: str, body: bytes, headers: dict[str, str]) -> None:
        client.post(path, data=body, headers={"Content-Type": "application/json", **headers})

    normal: dict[tuple[str, int], tuple[float, int]] = {}
    rows = []
    marked = [Hostile(f"texts: {name}", body, frozenset({200})) for name, _, body in texts()]
    for one in (*corpus(), *marked):
        # Sizes in steps: bodies of nearly one size share a normal one, which is the smaller.
        size = max(len(NORMAL[one.path]), min(len(one.body), MOST_BYTES) // 65536 * 65536)
        key = (one.path, size)
        if key not in normal:
            body = NORMAL[one.path] + b" " * (size - len(NORMAL[one.path]))
            work = lambda body=body, path=one.path: send(path, body, {})  # noqa: E731
            work()
            normal[key] = (least(work, max(runs, 3)), peak(work) if memory else 0)
        hostile = lambda one=one: send(one.path, one.body, one.headers)  # noqa: E731
        seconds, held = least(hostile, runs), peak(hostile) if memory else 0
        rows.append(
            {
                "name": one.name,
                "bytes": len(one.body),
                "ms": round(seconds * 1000, 2),
                "times": round(seconds / normal[key][0], 2),
                "memory_times": round(held / normal[key][1], 2) if memory else None,
            }
        )
    return sorted(rows, key=lambda row: -row["times"])


def main() -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--memory", action="store_true", help="measure memory too, which takes minutes")
    parser.add_argument("--runs", type=int, default=2)
    options = parser.parse_args()
    rows = measured(options.runs, memory=options.memory)
    worst = max(row["times"] for row in rows)
    heaviest = max(row["memory_times"] or 0 for row in rows)
    within = worst <= MOST and heaviest <= MOST
    if options.json:
        print(json.dumps({"most": MOST, "worst": worst, "heaviest": heaviest, "within": within, "requests": rows}))
        return 0 if within else 1
    print(f"{'bytes':>9} {'ms':>9} {'times':>7} {'memory':>7}  request")
    for row in rows[:SHOWN]:
        print(f"{row['bytes']:>9} {row['ms']:>9} {row['times']:>7} {row['memory_times'] or '':>7}  {row['name']}")
    print(f"{len(rows)} requests; the worst costs {worst} times a normal one of its size, of {MOST} that it may.")
    return 0 if within else 1


if __name__ == "__main__":
    sys.exit(main())
