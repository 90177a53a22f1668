"""Every refusal and every fault as a problem document. Nothing else makes one for HTTP."""

from __future__ import annotations

import json
import logging
import traceback
from typing import Final

from flask import Flask, Response, g
from werkzeug.exceptions import HTTPException, MethodNotAllowed, NotFound

from changeout.domain.problems import Refusal
from changeout.render.problem_json import problem_object
from changeout.web.call import json_bytes

PROBLEM_JSON: Final = "application/problem+json"
_FAULTS: Final = logging.getLogger("changeout.faults")


def register_problems(app: Flask) -> None:
    """Make *app* answer with problem documents, whatever goes wrong."""
    app.register_error_handler(Refusal, _refused)
    app.register_error_handler(HTTPException, _refused_by_routing)
    app.register_error_handler(Exception, _failed)


def _refused(refusal: Refusal) -> Response:
    g.problem_code = refusal.problem.code
    response = Response(json_bytes(problem_object(refusal)), status=refusal.problem.status, content_type=PROBLEM_JSON)
    response.headers.extend(refusal.headers)
    response.headers["Cache-Control"] = "no-store"
    return response


def _refused_by_routing(refused: HTTPException) -> Response:
    """Answer what the router raises. It raises two things; anything else would be a fault of ours."""
    if isinstance(refused, NotFound):
        return _refused(Refusal("not-found", "Nothing has this address; /openapi.json lists what has one."))
    if isinstance(refused, MethodNotAllowed):
        allowed = ", ".join(sorted(refused.valid_methods or ()))
        return _refused(Refusal("method-not-allowed", f"This resource takes {allowed}.", headers=(("Allow", allowed),)))
    return _failed(refused)


def _failed(fault: Exception) -> Response:
    return _refused(as_refusal(fault, g.request_id))


def as_refusal(fault: Exception, request_id: str) -> Refusal:
    """Return what a caller is told of *fault*: a refusal as it is, of anything else only where the log speaks of it.

    The log says where it happened, without the exception's text, which may quote the request.
    """
    if isinstance(fault, Refusal):
        return fault
    frames = [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in traceback.extract_tb(fault.__traceback__)]
    line = {"fault": type(fault).__qualname__, "request_id": request_id, "frames": frames[-20:]}
    _FAULTS.error(json.dumps(line))
    return Refusal("internal-error", f"The log names this request {request_id}.")
