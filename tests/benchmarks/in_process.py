"""In process: a validation beside a check of structure, cost over circuits, and the full report."""

from __future__ import annotations

import json
from collections.abc import Callable

import full_report
import jsonschema
from aims import Figure, times_of
from proposals import CIRCUITS, dwellings, of_circuits

from changeout.application.service import Service
from changeout.intake.json_schema import proposal_schema
from changeout.intake.read import read_value
from changeout.intake.schemas.proposal import PROPOSAL
from changeout.render.report_json import report_bytes

MOST_BYTES = 1 << 20
SIZES = (50, 200, 500, 1000, 2000)


def measured(service: Service, rounds: int) -> list[Figure]:
    """All figures of this kind."""
    return [validation(service, rounds), *growth(service, rounds), full(service, rounds)]


def validator_of(service: Service, bodies: list[bytes]) -> Callable[[int], object]:
    """What judges one body after the other, from bytes to the bytes of the full report."""
    return lambda call: report_bytes(service.validate(bodies[call % len(bodies)]))


def validation(service: Service, rounds: int) -> Figure:
    """A full validation beside what ``jsonschema`` takes to check the same bytes against the published schema."""
    bodies = dwellings(service, 50)
    for body in bodies[:3]:
        report = service.validate(body)
        assert (report.verdict, report.counts["undetermined"]) == ("conforms", 0)
    schema = jsonschema.Draft202012Validator(proposal_schema())
    assert not list(schema.iter_errors(json.loads(bodies[0])))

    def structure(call: int) -> object:
        return list(schema.iter_errors(json.loads(bodies[call % len(bodies)])))

    ours, theirs = times_of([validator_of(service, bodies), structure], rounds, in_each=10)
    return Figure(
        id="validation",
        name=f"full validation of a complete dwelling of {CIRCUITS} circuits, times jsonschema on its structure",
        value=ours.least / theirs.least,
        most=1,
        beside={
            "validation_ms": round(1e3 * ours.least, 2),
            "jsonschema_ms": round(1e3 * theirs.least, 2),
            "median_validation_ms": round(1e3 * ours.median, 2),
            "body_bytes": len(bodies[0]),
            "report_bytes": len(report_bytes(service.validate(bodies[0]))),
        },
    )


def growth(service: Service, rounds: int) -> list[Figure]:
    """What a circuit costs more among many than among few.

    The interface takes up to 200 circuits and 20,000 values in a document. Here the limit of the list is lifted, and the
    text is read without counting its values.
    """
    circuits = PROPOSAL.members["panelboard"].record.members["circuits"]  # type: ignore[attr-defined]
    circuits.most = SIZES[-1]
    bodies = [of_circuits(service, size) for size in SIZES]
    assert all(len(body) <= MOST_BYTES for body in bodies)
    works = [_reported(service, body) for body in bodies]
    taken = [times.least for times in times_of(works, max(rounds // 4, 2))]
    each = {size: 1e3 * seconds / size for size, seconds in zip(SIZES, taken, strict=True)}
    return [
        Figure(
            id="growth",
            name=f"cost of one circuit among {SIZES[-1]}, times that among {SIZES[1]}",
            value=each[SIZES[-1]] / each[SIZES[1]],
            most=1.25,
            beside={
                "ms_for_circuits": {str(s): round(1e3 * t, 1) for s, t in zip(SIZES, taken, strict=True)},
                "bytes_of_largest": len(bodies[-1]),
            },
        )
    ]


def _reported(service: Service, body: bytes) -> Callable[[int], object]:
    return lambda _: report_bytes(service.report_on(read_value(json.loads(body))))


def full(service: Service, rounds: int) -> Figure:
    """The dearest of the full reports on half-known and violated proposals of 42 circuits, beside plain findings."""
    rows = full_report.measured(service, max(rounds // 4, 3))
    return Figure(
        id="full-report",
        name="full report on 42 circuits, half known or violated, times plain findings (the dearest)",
        value=max(row["ratio"] for row in rows),
        most=full_report.MOST,
        beside={row["proposal"]: {k: row[k] for k in ("findings_ms", "full_ms", "ratio")} for row in rows},
    )
