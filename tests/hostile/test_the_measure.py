"""The benchmark of hostile requests runs, and measures every one of them; what it finds is not judged here."""

import json
import subprocess
import sys
from pathlib import Path

from hostile_inputs import corpus, texts

BENCHMARK = Path(__file__).parents[1] / "benchmarks/hostile.py"


def test_it_measures_every_hostile_request():
    done = subprocess.run(
        [sys.executable, str(BENCHMARK), "--json", "--runs", "1"], capture_output=True, text=True, check=False
    )
    told = json.loads(done.stdout)
    assert done.returncode == (0 if told["within"] else 1)
    assert told["most"] == 20.0
    assert len(told["requests"]) == len(corpus()) + len(list(texts()))
    assert told["worst"] == max(row["times"] for row in told["requests"])
    assert all(row["times"] > 0 for row in told["requests"])
