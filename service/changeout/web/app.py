"""The application: a factory, so that nothing is loaded or read by importing a module."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable
from importlib import import_module
from typing import Any

from flask import Blueprint, Flask, Response, g, request
from werkzeug.middleware.proxy_fix import ProxyFix

from changeout.application.environment import RATE_VARIABLE, TRACES_VARIABLE, SettingsError
from changeout.application.service import Service
from changeout.domain.problems import Refusal
from changeout.web.access_log import register_access_log
from changeout.web.batch import NDJSON
from changeout.web.body import read_body, read_lines
from changeout.web.call import Answer, Call, Site, json_bytes
from changeout.web.gate import Gate
from changeout.web.headers import register_headers
from changeout.web.metrics import Meters
from changeout.web.negotiation import choose
from changeout.web.openapi import openapi_document
from changeout.web.operation import Operation
from changeout.web.operations import OPERATIONS
from changeout.web.pages import assets
from changeout.web.parameters import check_path, read_query
from changeout.web.problems import register_problems
from changeout.web.review_page import register_review
from changeout.web.settings import Settings
from changeout.web.token import register_token


def create_app(settings: Settings, service: Service | None = None) -> Flask:
    """Return an application that answers by *service*, or by one loaded as *settings* say.

    Raises:
        RulesetError: if a ruleset cannot be loaded.
        SettingsError: if a setting cannot be taken.
    """
    serving = Service.load(settings.jurisdictions) if service is None else service
    site = Site(
        service=serving,
        openapi=json_bytes(openapi_document(serving)),
        meters=Meters.made(serving.digest),
        gate=Gate(at_once=settings.at_once, waiting=settings.waiting, patience_s=settings.patience_s),
        batch_lines=settings.batch_lines,
    )
    app = Flask("changeout.web", static_folder=None)
    # An address with doubled slashes is another address: answered with 404, never with a redirect.
    app.url_map.merge_slashes = False
    app.register_blueprint(_operations(site))
    register_review(app, site, settings.token)
    # After a request, what was registered last runs first: the log sees the finished response.
    register_access_log(app, site.meters)
    if settings.traces is not None:
        _extra("changeout.web.tracing", "otel", TRACES_VARIABLE).register_tracing(app, settings.traces)
    register_headers(app, serving.digest)
    if settings.rate is not None:
        _extra("changeout.web.rates", "limits", RATE_VARIABLE).register_rates(app, settings.rate)
    # What is asked before a request, in the order written: the refusal of a token has an id and is logged.
    register_token(app, settings.token)
    register_problems(app)
    if settings.proxies:
        trusted = ProxyFix(app.wsgi_app, x_for=settings.proxies, x_proto=0, x_host=0)
        app.wsgi_app = trusted  # type: ignore[method-assign]  # the framework's own way to wrap an application
    return app


def _extra(module: str, extra: str, variable: str) -> Any:  # noqa: ANN401 - a module
    """Return a module that needs further packages.

    Raises:
        SettingsError: if they are not installed.
    """
    try:
        return import_module(module)
    except ModuleNotFoundError as missing:
        raise SettingsError(f"{variable} needs the package {missing.name}: install changeout[{extra}].") from None


def _operations(site: Site) -> Blueprint:
    """Return the routes of every operation, the OPTIONS of every address, and the files that pages refer to."""
    blueprint = Blueprint("operations", __name__)
    methods: dict[str, set[str]] = defaultdict(set)
    for operation in OPERATIONS:
        rule = re.sub(r"\{(\w+)\}", r"<\1>", operation.path)
        methods[rule] |= {operation.method, "OPTIONS"} | ({"HEAD"} if operation.method == "GET" else set())
        blueprint.add_url_rule(
            rule,
            operation.id,
            _view(operation, site),
            methods=[operation.method],
            provide_automatic_options=False,
        )
    for rule, allowed in methods.items():
        endpoint = "options_" + re.sub(r"\W+", "_", rule)
        blueprint.add_url_rule(rule, endpoint, _options(", ".join(sorted(allowed))), methods=["OPTIONS"])
    blueprint.add_url_rule("/docs/assets/<name>", "asset", _asset, methods=["GET"])
    return blueprint


def _view(operation: Operation, site: Site) -> Callable[..., Response]:
    """Return the view of an operation: check everything, in the order of the statuses, then let it answer."""
    media_types = [form.media_type for form in operation.produces]

    def view(**path: str) -> Response:
        check_path(path, operation.parameters, site.service)
        query = read_query(request.args, operation.parameters, site.service)
        media_type = choose(request.headers.get("Accept"), media_types) if operation.negotiated else media_types[0]
        answer = _answer(operation, _call(operation, site, path, query, media_type))
        g.judged = answer.judged
        response = _response(answer, cacheable=operation.method == "GET" and operation.negotiated)
        if len(media_types) > 1:
            response.vary.add("Accept")
        return response

    return view


def _call(operation: Operation, site: Site, path: dict[str, str], query: dict[str, str], media_type: str) -> Call:
    by_lines = operation.body is not None and operation.body.media_type == NDJSON
    lines = read_lines(request) if by_lines else ()
    body = read_body(request) if operation.body is not None and not by_lines else b""
    g.request_bytes = request.content_length if by_lines else len(body)
    return Call(
        site=site, path=path, query=query, media_type=media_type, request_id=g.request_id, body=body, lines=lines
    )


def _answer(operation: Operation, call: Call) -> Answer:
    """Let the operation answer; what takes a whole body judges, and holds a place meanwhile."""
    if operation.body is None or operation.body.media_type == NDJSON:
        return operation.handler(call)
    with call.site.gate.passed():
        return operation.handler(call)


def _response(answer: Answer, *, cacheable: bool) -> Response:
    """Return the response; a cacheable one is kept by the caller and asked about again by its tag."""
    has_charset = answer.media_type.startswith("text/") and "charset" not in answer.media_type
    content_type = f"{answer.media_type}; charset=utf-8" if has_charset else answer.media_type
    response = Response(answer.body, content_type=content_type)
    if cacheable:
        response.headers["Cache-Control"] = "no-cache"
        response.add_etag()
        response.make_conditional(request)
    return response


def _options(allowed: str) -> Callable[..., Response]:
    def view(**_: str) -> Response:
        response = Response(status=204)
        response.headers["Allow"] = allowed
        del response.headers["Content-Type"]
        return response

    return view


def _asset(name: str) -> Response:
    found = assets().get(name)
    if found is None:
        raise Refusal("not-found", f"There is no file {name!r} here.")
    return _response(Answer(body=found.content, media_type=found.media_type), cacheable=True)
