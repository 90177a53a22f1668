"""What a handler is given and what it gives back; handlers know nothing of the framework."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from changeout.application.service import Service
from changeout.domain.findings import Report
from changeout.domain.problems import Refusal
from changeout.web.gate import Gate
from changeout.web.metrics import Meters

JSON: Final = "application/json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Everything made once, at start: the service, its OpenAPI document, meters, and the gate before judging.

    ``batch_lines`` is how many lines a batch may have.
    """

    service: Service
    openapi: bytes
    meters: Meters
    gate: Gate
    batch_lines: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """A request after the edge has read it: parameters checked, media type chosen, body complete.

    A batch is not read ahead: its ``body`` is empty, and ``lines`` come as they are asked for.
    """

    site: Site
    path: Mapping[str, str]
    query: Mapping[str, str]
    media_type: str
    request_id: str
    body: bytes
    lines: Iterable[bytes | Refusal] = ()

    @property
    def service(self) -> Service:
        """The service that answers."""
        return self.site.service


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What the log and the meters may know of a validation: its report, of which the log tells three words."""

    report: Report

    @property
    def decision_id(self) -> str:
        """Which decision it is, on any machine."""
        return self.report.decision_id

    @property
    def verdict(self) -> str:
        """Its verdict."""
        return self.report.verdict

    @property
    def edition(self) -> str:
        """The edition that it judges by."""
        return self.report.ruleset.edition


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A successful response before headers are added. A body that is an iterator is sent as it is made."""

    body: bytes | Iterator[bytes]
    media_type: str = JSON
    judged: Judged | None = None


def json_bytes(document: object) -> bytes:
    """Return *document* as UTF-8 JSON, members in their own order; NaN and infinities are refused.

    Raises:
        ValueError: if a number is not finite.
    """
    return json.dumps(document, allow_nan=False, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
