"""Counters and durations for an operator, with labels from closed lists only.

With several worker processes each would count alone. When ``PROMETHEUS_MULTIPROC_DIR`` names a folder before the
process starts (``changeout serve`` sees to it), the client library keeps the numbers in files there, and
whichever worker is asked adds them up.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

from changeout import __version__
from changeout.domain.findings import Outcome, Report

TEXT_FORMAT: Final = "text/plain; version=0.0.4; charset=utf-8"
UNMATCHED: Final = "unmatched"
_METHODS: Final = frozenset({"GET", "HEAD", "POST", "OPTIONS", "PUT", "PATCH", "DELETE"})
_BUCKETS_S: Final = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
_OPEN: Final = frozenset({Outcome.VIOLATION, Outcome.UNDETERMINED})


def bounded_method(method: str) -> str:
    """Return *method* if it is a usual one, else ``other``: a caller can't make new labels."""
    return method if method in _METHODS else "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Build(Collector):
    """What runs in the process that is asked: kept in no file, so it ends with the process."""

    ruleset: str

    def collect(self) -> Iterable[GaugeMetricFamily]:
        """Yield one gauge that is always 1."""
        build = GaugeMetricFamily(
            "changeout_build", "Always 1; the labels say what runs.", labels=("engine", "ruleset")
        )
        build.add_metric((__version__, self.ruleset), 1)
        yield build


@dataclass(frozen=True, slots=True, kw_only=True)
class Meters:
    """The meters of one application, in a registry of its own."""

    registry: CollectorRegistry
    build: Collector
    requests: Counter
    seconds: Histogram
    validations: Counter
    findings: Counter
    answers: Counter
    refusals: Counter

    @classmethod
    def made(cls, ruleset_digest: str) -> Meters:
        """Make the meters and say in ``changeout_build`` which engine and ruleset they count for."""
        registry = CollectorRegistry()
        build = _Build(ruleset=ruleset_digest)
        registry.register(build)
        return cls(
            registry=registry,
            build=build,
            requests=Counter(
                "changeout_requests", "Requests answered.", ("route", "method", "status"), registry=registry
            ),
            seconds=Histogram(
                "changeout_request_seconds",
                "Seconds from the first look at a request to its answer.",
                ("route", "method"),
                buckets=_BUCKETS_S,
                registry=registry,
            ),
            validations=Counter("changeout_validations", "Reports given.", ("verdict", "edition"), registry=registry),
            findings=Counter("changeout_findings", "Findings given.", ("edition", "outcome"), registry=registry),
            answers=Counter(
                "changeout_open_findings",
                "Findings that a reviewer has to look at.",
                ("rule", "outcome"),
                registry=registry,
            ),
            refusals=Counter("changeout_refusals", "Problem documents given.", ("code",), registry=registry),
        )

    def count(self, report: Report) -> None:
        """Count a report: its verdict, its findings by outcome, and by rule those that are open.

        Rules, outcomes and editions are those of the rulesets: a caller can't make new labels.
        """
        edition = report.ruleset.edition
        self.validations.labels(report.verdict, edition).inc()
        for outcome, number in report.counts.items():
            self.findings.labels(edition, outcome).inc(number)
        for finding in report.findings:
            if finding.outcome in _OPEN:
                self.answers.labels(finding.rule, finding.outcome.value).inc()

    def text(self) -> bytes:
        """Return all meters in the text format, of every worker process where they share a folder."""
        if "PROMETHEUS_MULTIPROC_DIR" not in os.environ:
            return generate_latest(self.registry)
        shared = CollectorRegistry()
        shared.register(self.build)
        MultiProcessCollector(shared)  # type: ignore[no-untyped-call]
        return generate_latest(shared)
