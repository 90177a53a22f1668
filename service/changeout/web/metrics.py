"""Counters and durations for an operator, with labels from closed lists only.

With several worker processes each would count alone. When ``PROMETHEUS_MULTIPROC_DIR`` names a folder before the
process starts (``changeout serve`` sees to it), the client library keeps the numbers in files there, and
whichever worker is asked adds them up.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import Final

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest
from prometheus_client.multiprocess import MultiProcessCollector

from changeout import __version__

TEXT_FORMAT: Final = "text/plain; version=0.0.4; charset=utf-8"
UNMATCHED: Final = "unmatched"
_METHODS: Final = frozenset({"GET", "HEAD", "POST", "OPTIONS", "PUT", "PATCH", "DELETE"})
_BUCKETS_S: Final = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)


def bounded_method(method: str) -> str:
    """Return *method* if it is a usual one, else ``other``: a caller can't make new labels."""
    return method if method in _METHODS else "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Meters:
    """The meters of one application, in a registry of its own."""

    registry: CollectorRegistry
    requests: Counter
    seconds: Histogram
    validations: Counter
    refusals: Counter

    @classmethod
    def made(cls, ruleset_digest: str) -> Meters:
        """Make the meters and say in ``changeout_build`` which engine and ruleset they count for."""
        registry = CollectorRegistry()
        build = Gauge(
            "changeout_build",
            "Always 1; the labels say what runs.",
            ("engine", "ruleset"),
            registry=registry,
            multiprocess_mode="max",
        )
        build.labels(__version__, ruleset_digest).set(1)
        return cls(
            registry=registry,
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
            refusals=Counter("changeout_refusals", "Problem documents given.", ("code",), registry=registry),
        )

    def text(self) -> bytes:
        """Return all meters in the text format, of every worker process where they share a folder."""
        if "PROMETHEUS_MULTIPROC_DIR" not in os.environ:
            return generate_latest(self.registry)
        shared = CollectorRegistry()
        MultiProcessCollector(shared)  # type: ignore[no-untyped-call]
        return generate_latest(shared)
