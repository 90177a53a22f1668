"""How fast it is: every figure with its aim, and ``pass`` or ``short``.

Usage: python tests/benchmarks/run.py [--json FILE] [--quick] [--requests N] [--soak N] [--only-soak]

Prints a table; ``--json`` writes the figures too. Everything is measured in the same run and on the same machine, and
aims are ratios wherever they can be. ``--soak`` says over how many requests memory is watched (2000 unless said); as
that takes long, it can be done alone, and its figure takes the place of the former one in FILE.
Exits 0 whatever is reached: a figure that falls short is told of, not hidden and not failed.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent / "electrical"), str(HERE.parents[1] / "deploy"), str(HERE)]

import commands  # noqa: E402
import fault_current  # noqa: E402
import in_process  # noqa: E402
import over_http  # noqa: E402
import start  # noqa: E402
from aims import Figure  # noqa: E402

from changeout import __version__  # noqa: E402
from changeout.application.garbage import settle  # noqa: E402
from changeout.application.service import Service  # noqa: E402


def machine() -> str:
    """The machine in a line."""
    lines = Path("/proc/cpuinfo").read_text().splitlines()
    model = next((line.partition(":")[2].strip() for line in lines if line.startswith("model name")), "unknown")
    cores = len(os.sched_getaffinity(0))
    return f"{cores} cores of {model}, {platform.system()}, Python {platform.python_version()}"


def figures(given: argparse.Namespace) -> Iterable[Figure]:
    """Measure one kind after the other."""
    service = Service.load()
    settle()
    if given.only_soak:
        yield over_http.soak(service, given.soak)
        return
    rounds = 6 if given.quick else 12
    inside = in_process.measured(service, rounds)
    yield from inside
    validation_s = inside[0].beside["median_validation_ms"] / 1e3
    parts: list[Callable[[], list[Figure]]] = [
        lambda: fault_current.measured(rounds),
        lambda: start.measured(service, rounds),
        lambda: commands.measured(service, 200 if given.quick else 2000, validation_s),
        lambda: over_http.measured(service, given.requests, validation_s),
        lambda: [over_http.soak(service, given.soak)],
    ]
    for part in parts:
        yield from part()


def table(rows: list[dict[str, Any]]) -> str:
    """The figures as a table for a terminal."""
    lines = [("", "figure", "aim", "")]
    for row in rows:
        value = "-" if row["value"] is None else f"{row['value']:g} {row['unit']}"
        lines.append((row["id"], value, row["aim"], row["said"]))
    widths = [max(len(line[column]) for line in lines) for column in range(4)]
    return "\n".join("  ".join(text.ljust(width) for text, width in zip(line, widths, strict=True)) for line in lines)


def main() -> int:
    """Measure, print, and write."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--json", type=Path, help="write the figures to this file")
    parser.add_argument("--quick", action="store_true", help="fewer rounds: a minute, and less exact")
    parser.add_argument("--requests", type=int, default=1000, help="how many over HTTP, to each of both servers")
    parser.add_argument("--soak", type=int, default=20000, help="over how many requests memory is watched")
    parser.add_argument("--only-soak", action="store_true", help="watch memory, and nothing else")
    given = parser.parse_args()
    load = os.getloadavg()[0]
    rows = []
    for figure in figures(given):
        rows.append(figure.row())
        print(f"{figure.said:13} {figure.name}: {rows[-1]['value']} {figure.unit} (aim: {figure.aim})", flush=True)
    print()
    print(table(rows))
    if given.json and given.only_soak:
        kept = json.loads(given.json.read_text())
        kept["figures"] = [row for row in kept["figures"] if row["id"] != rows[0]["id"]] + rows
        given.json.write_text(json.dumps(kept, indent=1) + "\n")
    elif given.json:
        kept = {
            "machine": machine(),
            "load_average": round(load, 1),
            "date": time.strftime("%Y-%m-%d", time.gmtime()),
            "engine": __version__,
            "figures": rows,
        }
        given.json.write_text(json.dumps(kept, indent=1) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
