"""Files judged one after another, or by several processes at once; the results come in the files' order."""

from __future__ import annotations

import multiprocessing
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import jsonpointer

from changeout.application.garbage import settle
from changeout.application.judgement import Judgement, judge_read
from changeout.application.merge_patch import merged
from changeout.application.service import Service
from changeout.cli.files import read
from changeout.cli.options import CannotError
from changeout.domain.findings import Report
from changeout.domain.problems import DocumentError, Refusal
from changeout.intake.read import ReadProposal, read_proposal, read_value
from changeout.intake.reader import JsonText, read_json

_AHEAD: Final = 4
"""How many files a process may have waiting for it, so that not all of them are in memory at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How each file is judged: the edition instead of its own, the detail, and the document it is laid over."""

    edition: str | None
    detail: str
    base: Mapping[str, Any] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """Why a file could not be read: a refusal in a shape that can pass between processes."""

    code: str
    detail: str
    errors: tuple[DocumentError, ...]

    @classmethod
    def of(cls, refusal: Refusal) -> Refused:
        """Return what *refusal* says."""
        return cls(code=refusal.problem.code, detail=refusal.detail, errors=refusal.errors)

    def refusal(self) -> Refusal:
        """Return the refusal again."""
        return Refusal(self.code, self.detail, self.errors)


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What came of a file: what was read of it with the report, or why it was refused.

    From another process only the report comes: what was read is made again of the *body* when it is asked for, which
    takes less time than passing it on.
    """

    name: str
    read: ReadProposal | None = None
    body: bytes | None = None
    report: Report | None = None
    refused: Refused | None = None

    @property
    def verdict(self) -> str:
        """The report's verdict, or ``unreadable``."""
        return self.report.verdict if self.report else "unreadable"

    def summary(self) -> Result:
        """Return what is told of all files at the end: no findings and no calculations, so that many files fit."""
        report = self.report and replace(self.report, findings=(), calculations=())
        return Result(name=self.name, report=report, refused=self.refused)

    def judgement(self, service: Service, way: Way) -> Judgement | None:
        """Return the report with all that belongs to it; None where the file was refused."""
        if self.report is None:
            return None
        read = self.read if self.read is not None or self.body is None else _read(self.body, way)
        if read is None:
            return None
        return Judgement(read=read, report=self.report, ruleset=service.chosen(read, way.edition)[0])


def results(
    service: Service, names: Sequence[str], way: Way, jobs: int, jurisdictions: Path | None
) -> Iterator[Result]:
    """Yield the result of each file, in order; with *jobs* over 1 by so many processes."""
    if jobs == 1 or len(names) == 1:
        yield from (_result(service, name, way) for name in names)
        return
    start = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(
        min(jobs, len(names)), mp_context=start, initializer=_load, initargs=(jurisdictions,)
    ) as pool:
        waiting: deque[_Begun] = deque()
        for name in names:
            waiting.append(_begun(pool, name, way))
            if len(waiting) >= jobs * _AHEAD:
                yield _done(waiting.popleft())
        while waiting:
            yield _done(waiting.popleft())


_Begun = tuple[Future[Result], bytes] | Result


def _begun(pool: ProcessPoolExecutor, name: str, way: Way) -> _Begun:
    try:
        body = read(name)
    except Refusal as refusal:
        return Result(name=name, refused=Refused.of(refusal))
    return pool.submit(_judge_there, name, body, way), body


def _done(one: _Begun) -> Result:
    """Return the result that was waited for.

    Raises:
        CannotError: if its process ended before it had one.
    """
    try:
        return one if isinstance(one, Result) else replace(one[0].result(), body=one[1])
    except BrokenProcessPool:
        raise CannotError("a process of --jobs ended before its time; try again with --jobs 1") from None


_there: list[Service] = []
"""The service of this process, where it is one of several."""


def _load(jurisdictions: Path | None) -> None:
    _there.append(Service.load(jurisdictions))
    settle()


def _judge_there(name: str, body: bytes, way: Way) -> Result:
    return replace(_judged(_there[0], name, body, way), read=None)


def _result(service: Service, name: str, way: Way) -> Result:
    try:
        return _judged(service, name, read(name), way)
    except Refusal as refusal:
        return Result(name=name, refused=Refused.of(refusal))


def _judged(service: Service, name: str, body: bytes, way: Way) -> Result:
    try:
        proposal = _read(body, way)
        report = judge_read(service, proposal, edition=way.edition, detail=way.detail).report
    except Refusal as refusal:
        return Result(name=name, refused=Refused.of(refusal))
    return Result(name=name, read=proposal, report=report)


def _read(body: bytes, way: Way) -> ReadProposal:
    chosen = way.edition is not None
    if way.base is None:
        return read_proposal(body, edition_chosen=chosen)
    told = read_json(body)
    try:
        return read_value(merged(way.base, told.value), edition_chosen=chosen)
    except Refusal as refusal:
        raise _placed(refusal, told) from None


def _placed(refusal: Refusal, told: JsonText) -> Refusal:
    """Return a refusal of a document laid over another: errors in what the file says have their place in it."""
    places = told.places()
    errors = []
    for error in refusal.errors:
        stated = jsonpointer.resolve_pointer(told.value, error.pointer, None) is not None
        where = places.of_value(error.pointer) if stated else None
        errors.append(replace(error, line=where.line, column=where.column) if where else error)
    return Refusal(refusal.problem.code, refusal.detail, tuple(errors))
