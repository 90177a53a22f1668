"""The view that the service is measured against: it parses the same body and serialises a ready report."""

from __future__ import annotations

import json

from flask import Flask, Response, request
from proposals import dwellings

from changeout.application.service import Service
from changeout.render.report_json import report_bytes

_service = Service.load()
READY = json.loads(report_bytes(_service.validate(dwellings(_service, 1)[0])))
app = Flask("plain")


@app.post("/")
def answer() -> Response:
    """Parse what was sent, and answer with a report that was made before."""
    json.loads(request.get_data())
    return Response(json.dumps(READY), content_type="application/json")


@app.get("/livez")
def live() -> Response:
    """Answer that the process runs."""
    return Response("{}", content_type="application/json")
