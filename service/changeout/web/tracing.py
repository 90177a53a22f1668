"""A span for each request, sent by OpenTelemetry's own exporter; needs the extra ``otel``.

A span tells what the line of the log tells: nothing that a caller sent, the id of the request apart. A trace that the
caller began is gone on with (W3C Trace Context).
"""

from __future__ import annotations

import os
from collections.abc import Callable

from flask import Flask, Response, g, request
from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter
from opentelemetry.sdk.resources import Resource
from opentelemetry.sdk.trace import TracerProvider
from opentelemetry.sdk.trace.export import BatchSpanProcessor, SpanExporter
from opentelemetry.trace import SpanKind, StatusCode, Tracer
from opentelemetry.trace.propagation.tracecontext import TraceContextTextMapPropagator

from changeout import __version__
from changeout.web.call import Judged
from changeout.web.metrics import UNMATCHED, bounded_method

Exporting = Callable[[], SpanExporter]


def register_tracing(app: Flask, endpoint: str, exporter: Exporting | None = None) -> None:
    """Make *app* tell of each request to *endpoint*, or to what *exporter* makes."""
    tracers: dict[int, Tracer] = {}
    making = exporter or (lambda: OTLPSpanExporter(endpoint=endpoint))
    propagator = TraceContextTextMapPropagator()

    def tracer() -> Tracer:
        # Made in the process that answers: what sends the spans is a thread, and no thread survives a fork.
        if os.getpid() not in tracers:
            tracers[os.getpid()] = _tracer(making())
        return tracers[os.getpid()]

    def start() -> None:
        carrier = {name: value for name in ("traceparent", "tracestate") if (value := request.headers.get(name))}
        name = f"{bounded_method(request.method)} {_route()}"
        g.span = tracer().start_span(name, context=propagator.extract(carrier), kind=SpanKind.SERVER)

    def finish(response: Response) -> Response:
        judged: Judged | None = g.judged
        told = {
            "http.request.method": bounded_method(request.method),
            "http.route": _route(),
            "http.response.status_code": response.status_code,
            "changeout.request_id": g.request_id,
            "changeout.problem": g.problem_code,
            "changeout.verdict": judged.verdict if judged is not None else None,
            "changeout.edition": judged.edition if judged is not None else None,
            "changeout.decision_id": judged.decision_id if judged is not None else None,
        }
        g.span.set_attributes({name: value for name, value in told.items() if value is not None})
        if response.status_code >= 500:
            g.span.set_status(StatusCode.ERROR)
        if response.is_streamed:
            response.call_on_close(g.span.end)
        else:
            g.span.end()
        return response

    app.before_request(start)
    app.after_request(finish)


def _route() -> str:
    return request.url_rule.rule if request.url_rule is not None else UNMATCHED


def _tracer(exporter: SpanExporter) -> Tracer:
    provider = TracerProvider(resource=Resource.create({"service.name": "changeout", "service.version": __version__}))
    provider.add_span_processor(BatchSpanProcessor(exporter))
    return provider.get_tracer("changeout", __version__)
