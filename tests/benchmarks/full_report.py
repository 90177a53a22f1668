"""What a full report costs over one of findings only, on panelboards of 42 circuits: a table, or ``--json``.

Usage: python tests/benchmarks/full_report.py [--json] [--runs N]

The processor's time is measured, not the clock's, and the median of the runs is told, so that other work on the
machine hardly moves the ratio. Exits 1 where a full report costs more than ``MOST`` times one of findings only.
"""

from __future__ import annotations

import argparse
import copy
import json
import statistics
import sys
import time
from typing import Any

from changeout.application.service import Service
from changeout.render.report_json import report_bytes

MOST = 10.0
"""Times findings only: the most that a full report may cost."""

KINDS = (
    ("kitchen counter", "kitchen", "receptacle", 20, "12 AWG"),
    ("washing machine", "laundry", "receptacle", 20, "12 AWG"),
    ("bathroom", "bathroom", "receptacle", 20, "12 AWG"),
    ("bedrooms", "bedroom", "receptacle", 15, "14 AWG"),
    ("living room", "living", "receptacle", 15, "14 AWG"),
    ("hall lights", "hallway", "lighting", 15, "14 AWG"),
    ("garage", "garage", "receptacle", 20, "12 AWG"),
    ("outdoor outlets", "outdoors", "receptacle", 20, "12 AWG"),
    ("basement lights", "basement", "lighting", 15, "14 AWG"),
    ("freezer", "basement", "receptacle", 20, "12 AWG"),
    ("attic fan", "hvac", "equipment", 15, "14 AWG"),
    ("workbench", "garage", "receptacle", 30, "10 AWG"),
    ("hot tub", "pool", "equipment", 50, "6 AWG"),
    ("subpanel in the shed", "subpanel", "equipment", 60, "4 AWG"),
)


def circuits(conductors: bool, rating: str, undersized: bool) -> list[dict[str, Any]]:
    """42 circuits of one pole, of 14 kinds; each third time the serves differs, so all descriptions do."""
    found = []
    for index in range(42):
        serves, use, outlet, amperes, size = KINDS[index % len(KINDS)]
        breaker = {"rating": f"{amperes} A", "interrupting_rating": rating, "suitable_for_panelboard": True}
        breaker |= {"backfed": False, "reconditioned": False}
        circuit = {
            "number": index + 1,
            "poles": 1,
            "breaker": breaker,
            "serves": f"{serves} {index // len(KINDS) + 1}",
            "use": use,
            "outlet": outlet,
            "existing": True,
        }
        if conductors:
            smaller = {"12 AWG": "14 AWG", "14 AWG": "14 AWG", "10 AWG": "12 AWG", "6 AWG": "8 AWG", "4 AWG": "8 AWG"}
            circuit["conductor"] = {"size": smaller[size] if undersized else size, "material": "copper"}
            circuit["conductor"] |= {"insulation_temperature": "75 degC", "extended_by": "0 ft"}
            circuit |= {"outlets": 4 if outlet == "receptacle" else 1, "outlets_added": False}
        found.append(circuit)
    return found


def proposals(service: Service) -> dict[str, bytes]:
    """The proposals measured: all known, much unknown, violated in many circuits, and both."""
    known = json.loads(service.example("dwelling-service"))
    known["project"] = {"edition": "2023", "occupancy": "one-family-dwelling"}
    known["panelboard"]["marked_maximum_poles"] = 84
    known["panelboard"]["circuits"] = circuits(conductors=True, rating="22 kA", undersized=False)
    half = copy.deepcopy(known)
    del half["supply"]["source"]["impedance_percent"], half["supply"]["source"]["x_over_r"]
    for run in half["supply"]["runs"]:
        for member in ("length", "insulation_temperature", "ambient_temperature", "current_carrying_conductors"):
            run.pop(member, None)
    half["panelboard"].pop("termination_temperature", None)
    half["panelboard"]["circuits"] = circuits(conductors=False, rating="10 kA", undersized=False)
    for member in ("generation", "grounding", "service"):
        half.pop(member, None)
    violated = copy.deepcopy(known)
    violated["supply"]["source"] |= {"rating": "167 kVA", "impedance_percent": 1.4}
    for run in violated["supply"]["runs"]:
        run["length"] = "10 ft"
    violated["panelboard"]["circuits"] = circuits(conductors=True, rating="5 kA", undersized=True)
    both = copy.deepcopy(half)
    both["panelboard"]["circuits"] = circuits(conductors=True, rating="5 kA", undersized=True)
    for index, circuit in enumerate(both["panelboard"]["circuits"]):
        if index % 2:
            del circuit["conductor"]
    both["supply"]["source"] = violated["supply"]["source"]
    for run in both["supply"]["runs"]:
        run["length"] = "10 ft"
    every = {"known": known, "half known": half, "violated": violated, "violated and half known": both}
    return {name: json.dumps(document).encode() for name, document in every.items()}


def seconds(service: Service, body: bytes, detail: str, runs: int) -> float:
    """The median of the processor's time for a report, from bytes to bytes."""
    taken = []
    report_bytes(service.validate(body, detail=detail))
    for _ in range(runs):
        start = time.process_time()
        report_bytes(service.validate(body, detail=detail))
        taken.append(time.process_time() - start)
    return statistics.median(taken)


def measured(service: Service, runs: int) -> list[dict[str, Any]]:
    """A row for each proposal: what is in its report, what the report costs, and the ratio."""
    rows = []
    for name, body in proposals(service).items():
        report = service.validate(body)
        findings, full = (seconds(service, body, detail, runs) for detail in ("findings", "full"))
        rows.append(
            {
                "proposal": name,
                "violation": report.counts["violation"],
                "undetermined": report.counts["undetermined"],
                "questions": len(report.questions),
                "remedies": sum(1 for f in report.findings for r in f.remedies if r.patch),
                "findings_ms": round(1e3 * findings, 1),
                "full_ms": round(1e3 * full, 1),
                "ratio": round(full / findings, 1),
            }
        )
    return rows


def main() -> int:
    """Measure, and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--runs", type=int, default=7)
    arguments = parser.parse_args()
    rows = measured(Service.load(), arguments.runs)
    if arguments.json:
        print(json.dumps({"most": MOST, "rows": rows}, indent=1))
    else:
        names = list(rows[0])
        for row in [dict(zip(names, names, strict=True)), *rows]:
            print("  ".join(f"{row[name]!s:>{max(len(name), 24 if name == 'proposal' else 0)}}" for name in names))
    return int(any(row["ratio"] > MOST for row in rows))


if __name__ == "__main__":
    sys.exit(main())
