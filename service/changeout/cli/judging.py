"""Files judged one after another, or by several processes at once; the results come in the files' order."""

from __future__ import annotations

import multiprocessing
import sys
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import jsonpointer

from changeout.application.garbage import settle
from changeout.application.judgement import Judgement, judge_read
from changeout.application.merge_patch import merged
from changeout.application.service import Service
from changeout.cli.files import read
from changeout.cli.options import CannotError
from changeout.cli.results import Refused, Result, Way
from changeout.cli.writing import Style, refusal_written, report_written
from changeout.domain.problems import Refusal
from changeout.intake.read import ReadProposal, read_proposal, read_value
from changeout.intake.reader import JsonText, read_json

_FORKS: Final = sys.platform != "darwin" and "fork" in multiprocessing.get_all_start_methods()
"""Whether a process can be made of this one as it is; there, libraries of the system do not bear it."""

_AHEAD: Final = 4
"""How many files a process may have waiting for it, so that not all of them are in memory at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What holds for every file: how it is judged, how it is written, and whether its whole report is wanted then."""

    way: Way
    style: Style
    whole: bool


def results(
    service: Service, names: Sequence[str], order: Order, jobs: int, jurisdictions: Path | None
) -> Iterator[Result]:
    """Yield the result of each file, in order; with *jobs* over 1 by so many processes."""
    settle()
    if jobs == 1 or len(names) == 1:
        yield from (_result(service, name, order) for name in names)
        return
    with _pool(service, min(jobs, len(names)), jurisdictions) as pool:
        waiting: deque[_Begun] = deque()
        for name in names:
            waiting.append(_begun(pool, name, order))
            if len(waiting) >= jobs * _AHEAD:
                yield _done(waiting.popleft())
        while waiting:
            yield _done(waiting.popleft())


def _pool(service: Service, jobs: int, jurisdictions: Path | None) -> ProcessPoolExecutor:
    """Return the processes that judge. Forked ones have the rulesets from this one; others must load them again."""
    if _FORKS:
        _there[:] = [service]
        return ProcessPoolExecutor(jobs, mp_context=multiprocessing.get_context("fork"))
    start = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(jobs, mp_context=start, initializer=_load, initargs=(jurisdictions,))


_Begun = tuple[Future[Result], bytes] | Result


def _begun(pool: ProcessPoolExecutor, name: str, order: Order) -> _Begun:
    try:
        body = read(name)
    except Refusal as refusal:
        return _refused(name, refusal, order)
    return pool.submit(_judge_there, name, body, order), body


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


def _judge_there(name: str, body: bytes, order: Order) -> Result:
    return replace(_judged(_there[0], name, body, order), read=None)


def _result(service: Service, name: str, order: Order) -> Result:
    try:
        body = read(name)
    except Refusal as refusal:
        return _refused(name, refusal, order)
    return _judged(service, name, body, order)


def judgement(result: Result, service: Service, way: Way) -> Judgement | None:
    """Return the report with all that belongs to it; None where the file was refused."""
    if result.report is None:
        return None
    proposal = result.read if result.read is not None or result.body is None else _read(result.body, way)
    if proposal is None:
        return None
    return Judgement(read=proposal, report=result.report, ruleset=service.chosen(proposal, way.edition)[0])


def _judged(service: Service, name: str, body: bytes, order: Order) -> Result:
    way = order.way
    try:
        judged = judge_read(service, _read(body, way), edition=way.edition, detail=way.detail)
    except Refusal as refusal:
        return _refused(name, refusal, order)
    whole = Result(name=name, read=judged.read, report=judged.report)
    return replace(whole if order.whole else whole.summary(), written=report_written(judged, name, order.style))


def _refused(name: str, refusal: Refusal, order: Order) -> Result:
    return Result(name=name, refused=Refused.of(refusal), written=refusal_written(refusal, order.style))


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
