"""``changeout check --jobs`` over a folder of proposals, beside the rate of one process times the cores."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from aims import Figure
from proposals import dwellings

from changeout.application.service import Service


def measured(service: Service, files: int, validation_s: float) -> list[Figure]:
    """The figure of this kind; *validation_s* is the processor time of a validation in process."""
    cores = len(os.sched_getaffinity(0))
    with tempfile.TemporaryDirectory() as folder:
        for number, body in enumerate(dwellings(service, files)):
            (Path(folder) / f"{number:05}.json").write_bytes(body)
        few = Path(folder) / "few"
        few.mkdir()
        (few / "one.json").write_bytes(dwellings(service, 1)[0])
        (few / "two.json").write_bytes(dwellings(service, 2)[1])
        few_s, few_cpu_s = _seconds(str(few), cores)
        (few / "one.json").unlink()
        (few / "two.json").unlink()
        taken_s, cpu_s = _seconds(folder, cores)
    # In process the rulesets are loaded already: two files tell what loading them takes here.
    rate = (files - 2) / (cpu_s - few_cpu_s)
    return [
        Figure(
            id="jobs",
            name=f"proposals per second of the clock of the command with --jobs {cores}, times {cores} x the in-process rate",
            value=files / taken_s * validation_s / cores,
            least=0.8,
            beside={
                "files": files,
                "per_second_of_a_core": round(rate, 1),
                "in_process_per_second": round(1 / validation_s, 1),
                "ratio_of_cpu": round(files / cpu_s * validation_s, 2),
                "ratio_of_cpu_without_start": round(rate * validation_s, 2),
                "seconds_of_the_clock": round(taken_s, 1),
                "seconds_of_the_clock_for_two_files": round(few_s, 1),
            },
        )
    ]


def _seconds(folder: str, jobs: int) -> tuple[float, float]:
    """How long the command takes: by the clock, and of the processors, its processes together."""
    command = [sys.executable, "-m", "changeout", "check", folder, "--jobs", str(jobs), "--format", "json"]
    before, begun = os.times(), time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True)
    after = os.times()
    cpu_s = after.children_user + after.children_system - before.children_user - before.children_system
    return time.perf_counter() - begun, cpu_s
