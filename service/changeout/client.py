"""A client for a running service.

Use it so::

    with Client("http://127.0.0.1:8080") as client:
        report = client.validate(proposal)
        for finding in report.violations:
            print(finding.section, finding.message)

A client keeps its connection open between requests.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import TracebackType
from typing import Any, Final, Self

import requests
from requests.adapters import HTTPAdapter
from urllib3.util.retry import Retry

_NDJSON: Final = "application/x-ndjson"
_CHUNK_BYTES: Final = 8 * 1024
RETRIED: Final = (429, 503)
"""The statuses after which the same request is worth sending again; judging changes nothing, so it is safe."""

_LONGEST_WAIT_S: Final = 60
_MOST_BYTES_AT_ONCE: Final = 64 * 1024
"""How much of a batch is sent in one request, unless one proposal alone is larger.

All of it fits into the buffers on the way, so sending never waits for answers that nobody reads yet.
"""


class ProblemError(Exception):
    """The service refused the request, or something between refused it.

    Args:
        problem: The problem document (RFC 9457); of an answer that is none, what can be told of it.
    """

    def __init__(self, problem: Mapping[str, Any]) -> None:
        """Keep the members of the problem."""
        super().__init__(f"{problem.get('status')} {problem.get('code')}: {problem.get('detail')}")
        self.type = str(problem.get("type", "about:blank"))
        self.title = str(problem.get("title", ""))
        self.status = int(problem.get("status", 0))
        self.code = str(problem.get("code", ""))
        self.detail = str(problem.get("detail", ""))
        self.errors: tuple[Mapping[str, Any], ...] = tuple(problem.get("errors", ()))


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingView:
    """One finding of a report; ``raw`` has all its members."""

    rule: str
    title: str
    outcome: str
    subject: str
    section: str | None
    message: str
    missing: tuple[str, ...]
    waived: bool
    raw: Mapping[str, Any]

    @classmethod
    def of(cls, finding: Mapping[str, Any]) -> FindingView:
        """Return the view of a finding as the service sends it."""
        return cls(
            rule=finding["rule"],
            title=finding["title"],
            outcome=finding["outcome"],
            subject=finding["subject"],
            section=finding["reference"]["section"],
            message=finding["message"],
            missing=tuple(finding["missing"]),
            waived=finding["waived"] is not None,
            raw=finding,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportView:
    """A report; ``raw`` has all its members."""

    decision_id: str
    verdict: str
    verdict_before_waivers: str
    headline: str
    edition: str
    counts: Mapping[str, int]
    conditions: tuple[str, ...]
    findings: tuple[FindingView, ...]
    raw: Mapping[str, Any]

    @classmethod
    def of(cls, report: Mapping[str, Any]) -> ReportView:
        """Return the view of a report as the service sends it."""
        return cls(
            decision_id=report["decision_id"],
            verdict=report["verdict"],
            verdict_before_waivers=report["verdict_before_waivers"],
            headline=report["headline"],
            edition=report["ruleset"]["edition"],
            counts=report["counts"],
            conditions=tuple(report["conditions"]),
            findings=tuple(FindingView.of(finding) for finding in report["findings"]),
            raw=report,
        )

    def having(self, outcome: str) -> tuple[FindingView, ...]:
        """Return the findings with *outcome*, in the report's order."""
        return tuple(finding for finding in self.findings if finding.outcome == outcome)

    @property
    def violations(self) -> tuple[FindingView, ...]:
        """The violations that no waiver was applied to."""
        return tuple(finding for finding in self.having("violation") if not finding.waived)


class Client:
    """Speaks to the service at *base_url*. One client is for one thread; use it in a ``with`` to close it.

    Args:
        base_url: Where the service is, such as ``http://127.0.0.1:8080``.
        timeout: Seconds to wait for a connection and between bytes.
        retries: How often to send a request again after 429 or 503, or when no connection was made. ``Retry-After``
            is heeded, up to 60 s.
        token: What a service that asks for one must be shown.
    """

    def __init__(self, base_url: str, *, timeout: float = 10.0, retries: int = 3, token: str | None = None) -> None:
        """Prepare a session; nothing is sent."""
        self._base_url = base_url.rstrip("/")
        self._timeout_s = timeout
        retry = Retry(
            total=retries,
            read=False,
            status_forcelist=RETRIED,
            allowed_methods=None,
            backoff_factor=0.2,
            respect_retry_after_header=True,
            retry_after_max=_LONGEST_WAIT_S,
            raise_on_status=False,
        )
        self._session = requests.Session()
        self._session.auth = _Bearer(token)
        for scheme in ("http://", "https://"):
            self._session.mount(scheme, HTTPAdapter(max_retries=retry))

    def __enter__(self) -> Self:
        """Return the client itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close the connections."""
        self.close()

    def close(self) -> None:
        """Close the connections."""
        self._session.close()

    def validate(
        self, proposal: Mapping[str, Any] | bytes, *, edition: str | None = None, detail: str | None = None
    ) -> ReportView:
        """Return the report on a proposal, given as JSON values or as the bytes of a document.

        Raises:
            ProblemError: if the service refuses it.
            requests.RequestException: if no answer came.
        """
        return ReportView.of(self._post("/v1/validations", proposal, edition=edition, detail=detail))

    def validate_many(
        self,
        proposals: Iterable[Mapping[str, Any] | bytes],
        *,
        edition: str | None = None,
        detail: str | None = None,
    ) -> Iterator[ReportView | ProblemError]:
        """Yield what comes of each proposal, in order: a report, or the problem with it; one harms no other.

        Takes no more of *proposals* than the next request needs. Bytes are a document each, on any number of lines.

        Raises:
            ProblemError: if the service refuses a whole request.
            requests.RequestException: if no answer came, or it broke off.
        """
        waiting: list[bytes] = []
        for proposal in proposals:
            line = _line(proposal)
            if waiting and sum(map(len, waiting)) + len(line) > _MOST_BYTES_AT_ONCE:
                yield from self._batch(waiting, edition=edition, detail=detail)
                waiting = []
            waiting.append(line)
        if waiting:
            yield from self._batch(waiting, edition=edition, detail=detail)

    def compare(
        self,
        proposal: Mapping[str, Any] | bytes,
        *,
        editions: Sequence[str] = (),
        jurisdictions: Sequence[str] = (),
    ) -> Mapping[str, Any]:
        """Return the proposal under each edition and jurisdiction named, and why the reports differ.

        Where nothing is named, all editions are compared.

        Raises:
            ProblemError: if the service refuses it.
            requests.RequestException: if no answer came.
        """
        named = {"editions": list(editions), "jurisdictions": list(jurisdictions)}
        return self._post(
            "/v1/comparisons", {"proposal": _value(proposal), **{name: of for name, of in named.items() if of}}
        )

    def what_if(
        self,
        proposal: Mapping[str, Any] | bytes,
        *,
        patch: Sequence[Mapping[str, Any]] | None = None,
        sweep: tuple[str, Sequence[Any]] | None = None,
        edition: str | None = None,
    ) -> Mapping[str, Any]:
        """Return what a *patch* (RFC 6902) would change, or each value of a *sweep*, a pointer with values.

        Raises:
            ProblemError: if the service refuses it.
            requests.RequestException: if no answer came.
        """
        request: dict[str, Any] = {"proposal": _value(proposal)}
        if edition is not None:
            request["edition"] = edition
        if patch is not None:
            request["patch"] = list(patch)
        if sweep is not None:
            request["sweep"] = {"pointer": sweep[0], "values": list(sweep[1])}
        return self._post("/v1/what-if", request)

    def calculate(
        self, kind: str, proposal: Mapping[str, Any] | bytes, *, edition: str | None = None
    ) -> Mapping[str, Any]:
        """Return one calculation on a proposal, with its steps.

        Raises:
            ProblemError: if the service refuses it.
            requests.RequestException: if no answer came.
        """
        return self._post(f"/v1/calculations/{kind}", proposal, edition=edition)

    def editions(self) -> tuple[str, ...]:
        """Return the names of the editions that the service knows.

        Raises:
            ProblemError: if the service refuses to say.
            requests.RequestException: if no answer came.
        """
        return tuple(self._answer("GET", "/v1/editions")["editions"])

    def _post(self, path: str, proposal: Mapping[str, Any] | bytes, **query: str | None) -> Mapping[str, Any]:
        body = proposal if isinstance(proposal, bytes) else json.dumps(proposal, allow_nan=False).encode()
        return self._answer("POST", path, body, query)

    def _batch(self, lines: Sequence[bytes], **query: str | None) -> Iterator[ReportView | ProblemError]:
        """Yield the answers to these lines, as many as there are lines.

        Raises:
            ProblemError: if the request is refused, or fewer answers came.
        """
        with self._session.post(
            self._base_url + "/v1/validations/batch",
            params=query,
            data=b"\n".join(lines),
            headers={"Accept": _NDJSON, "Content-Type": _NDJSON},
            timeout=self._timeout_s,
            stream=True,
        ) as response:
            if not response.ok:
                raise _problem(response)
            number = 0
            for line in response.iter_lines(chunk_size=_CHUNK_BYTES, delimiter=b"\n"):
                if line:
                    number += 1
                    yield _answered(line, response)
            if number != len(lines):
                raise ProblemError({**_told(response), "detail": f"{number} answers came to {len(lines)} proposals."})

    def _answer(
        self, method: str, path: str, body: bytes | None = None, query: Mapping[str, str | None] | None = None
    ) -> Mapping[str, Any]:
        headers = {"Accept": "application/json"} | ({"Content-Type": "application/json"} if body is not None else {})
        response = self._session.request(
            method, self._base_url + path, params=query, data=body, headers=headers, timeout=self._timeout_s
        )
        content = _object(response)
        if response.ok and content is not None:
            return content
        raise _problem(response)


class _Bearer(requests.auth.AuthBase):
    """Shows the token, or none: never a password that some file of the machine holds for this host."""

    def __init__(self, token: str | None) -> None:
        self._token = token

    def __call__(self, request: requests.PreparedRequest) -> requests.PreparedRequest:
        if self._token is not None:
            request.headers["Authorization"] = f"Bearer {self._token}"
        return request


def _value(proposal: Mapping[str, Any] | bytes) -> Any:  # noqa: ANN401 - any JSON value
    return json.loads(proposal) if isinstance(proposal, bytes) else proposal


def _line(proposal: Mapping[str, Any] | bytes) -> bytes:
    """Return the proposal on one line. What is no JSON stays, for the service to say what is wrong with it."""
    if not isinstance(proposal, bytes):
        return json.dumps(proposal, allow_nan=False).encode()
    if not proposal.strip():
        # A blank line would get no answer.
        return b"null"
    try:
        json.loads(proposal)
        # In JSON, line breaks stand between tokens only, where a space says the same.
        instead = b" "
    except (ValueError, RecursionError):
        # A line break within a text must not become a space that makes it whole.
        instead = b"\v"
    return proposal.strip().replace(b"\r", instead).replace(b"\n", instead)


def _answered(line: bytes, response: requests.Response) -> ReportView | ProblemError:
    try:
        answer = json.loads(line)
    except ValueError:
        raise ProblemError(_told(response)) from None
    return ProblemError(answer) if "code" in answer else ReportView.of(answer)


def _problem(response: requests.Response) -> ProblemError:
    content = _object(response)
    return ProblemError(content if content is not None and "code" in content else _told(response))


def _object(response: requests.Response) -> Mapping[str, Any] | None:
    """Return the JSON object in *response*, or None where it holds none."""
    try:
        content = response.json()
    except requests.JSONDecodeError:
        return None
    return content if isinstance(content, dict) else None


def _told(response: requests.Response) -> Mapping[str, Any]:
    """Return what can be told of an answer that is not the service's."""
    return {
        "type": "about:blank",
        "title": response.reason or "",
        "status": response.status_code,
        "code": "not-from-the-service",
        "detail": f"The answer is {response.headers.get('Content-Type', 'of no stated type')}, not the service's own.",
    }
