"""The same document and rulesets give the same bytes in any process: nothing is told in the order of a set.

Python takes another order of sets in each process, after ``PYTHONHASHSEED``.
"""

import os
import subprocess
import sys
from pathlib import Path

TESTS = Path(__file__).parents[1]
CASES = 40
TWO_EFFECTS = "load-method-allowed-for-this-proposal-2026-fails-a_main_of_100_A_does_not_make_up_for_small_conductors"
"""A case whose remedy moves two other findings."""

CODE = f"""
import hashlib, json, random, sys
sys.path.insert(0, {str(TESTS)!r})
from changeout.application.service import Service
from changeout.render.report_json import report_bytes
from rules.table import cases, proposal_of
service = Service.load()
bodies = {{name: service.example(name) for name in service.examples()}}
every = list(cases())
for case in [*random.Random("same bytes").sample(every, {CASES}), *(c for c in every if str(c) == {TWO_EFFECTS!r})]:
    bodies[str(case)] = json.dumps(proposal_of(case, service.example(case.start))).encode()
effects = 0
for name, body in bodies.items():
    report = service.validate(body)
    effects = max([effects, *(len(r.effects) for f in report.findings for r in f.remedies)])
    print(name, hashlib.sha256(report_bytes(report)).hexdigest())
print("most effects", effects > 1)
"""


def reports(seed: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", CODE],
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


def test_reports_have_the_same_bytes_whatever_the_order_of_sets():
    first = reports("1")
    assert first[-1] == "most effects True"
    for seed in ("2", "3", "4"):
        assert reports(seed) == first
