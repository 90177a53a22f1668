"""The plan reviewer's page: a form that is sent here and comes back with what was found. It needs no script.

It is no part of the interface that programs use, so it stands beside the table of operations. What is refused in the
form comes back as the page, with what was sent in it.
"""

from __future__ import annotations

import hmac
import json
from collections.abc import Callable
from dataclasses import dataclass
from importlib.resources import files
from typing import Final

from flask import Blueprint, Flask, Response, g, request
from jinja2 import DictLoader, Environment, StrictUndefined

from changeout import __version__
from changeout.application.documents import DOCUMENTS, LETTER, make_document
from changeout.application.review_flow import Asked, Reviewed, review_of
from changeout.domain.problems import Refusal
from changeout.render.html import report_html
from changeout.render.safe_text import printable
from changeout.web.call import Judged, Site
from changeout.web.headers import FORM_POLICY
from changeout.web.operation import Parameter
from changeout.web.parameters import read_query
from changeout.web.review_decisions import decisions_of
from changeout.web.review_form import Form, read_form
from changeout.web.review_view import REPORT, view_of
from changeout.web.token import CHALLENGE

ADDRESS: Final = "/review"
_HTML: Final = "text/html"
_TEMPLATES: Final = (
    "review.html",
    "review_start.html",
    "review_report.html",
    "review_cards.html",
    "review_sweep.html",
    "review_compare.html",
    "review_document.html",
)
_EXAMPLE: Final = Parameter(
    name="example",
    place="query",
    description="The example to begin with.",
    values=lambda service: service.examples(),
    required=False,
)


def register_review(app: Flask, site: Site, token: str | None) -> None:
    """Give *app* the review page; with a *token*, what is to be judged must come with it."""
    page = _Page(site=site, token=token, environment=_environment())
    blueprint = Blueprint("review", __name__)
    for rule, endpoint, view, methods in (
        (ADDRESS, "start", page.start, ["GET"]),
        (ADDRESS, "review", page.review, ["POST"]),
        (f"{ADDRESS}/documents/<kind>", "document", page.document, ["POST"]),
    ):
        blueprint.add_url_rule(rule, endpoint, view, methods=methods, provide_automatic_options=False)
    blueprint.add_url_rule(ADDRESS, "options", _options("GET, HEAD, OPTIONS, POST"), methods=["OPTIONS"])
    blueprint.add_url_rule(
        f"{ADDRESS}/documents/<kind>", "options_document", _options("OPTIONS, POST"), methods=["OPTIONS"]
    )
    app.register_blueprint(blueprint)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """The views of the page over one site."""

    site: Site
    token: str | None
    environment: Environment

    def start(self) -> Response:
        """Answer with the empty form, or with an example judged."""
        service = self.site.service
        name = read_query(request.args, (_EXAMPLE,), service).get("example")
        if name is None:
            return self._shown(None, Reviewed(text=""))
        form = Form(asked=Asked(body=service.example(name)))
        if self.token is not None:
            return self._shown(form, Reviewed(text=form.asked.body.decode()))
        return self._judged(form)

    def review(self) -> Response:
        """Answer with what is found in the document of the form."""
        read_query(request.args, (), self.site.service)
        try:
            form = self._form()
        except Refusal as refused:
            return self._shown(None, Reviewed(text="", refusal=refused))
        return self._judged(form)

    def document(self, kind: str) -> Response:
        """Answer with a document made from the document of the form, ready to print, or with the page and why not.

        Raises:
            Refusal: ``not-found`` if there is no such document.
        """
        read_query(request.args, (), self.site.service)
        if kind != REPORT and kind not in DOCUMENTS:
            raise Refusal("not-found", f"{kind!r} is none of {', '.join((*DOCUMENTS, REPORT))}.")
        try:
            form = self._form()
        except Refusal as refused:
            return self._shown(None, Reviewed(text="", refusal=refused))
        try:
            with self.site.gate.passed():
                self._check_token(form)
                reviewed = review_of(self.site.service, form.asked)
                made = self._made(kind, form, reviewed)
        except Refusal as refused:
            return self._unjudged(form, refused)
        if made is None:
            return self._shown(form, reviewed)
        return Response(made, content_type=f"{_HTML}; charset=utf-8")

    def _form(self) -> Form:
        g.request_bytes = request.content_length or 0
        return read_form(request)

    def _judged(self, form: Form) -> Response:
        try:
            with self.site.gate.passed():
                self._check_token(form)
                reviewed = review_of(self.site.service, form.asked)
        except Refusal as refused:
            return self._unjudged(form, refused)
        if reviewed.judgement is not None:
            g.judged = Judged(report=reviewed.judgement.report)
        return self._shown(form, reviewed)

    def _made(self, kind: str, form: Form, reviewed: Reviewed) -> bytes | None:
        """Return the document; None where what was sent cannot be read or not all of it could be taken.

        Raises:
            Refusal: if a decision cannot be taken.
        """
        judgement = reviewed.judgement
        if judgement is None or reviewed.refusal is not None or reviewed.untaken:
            return None
        if kind == REPORT:
            return report_html(judgement.report, judgement.read.proposal).encode()
        sent: dict[str, object] = {"proposal": judgement.read.document, "edition": form.asked.edition}
        if kind == LETTER:
            sent["decisions"] = decisions_of(judgement.report, form.decisions, form.by)
        return make_document(self.site.service, kind, json.dumps(sent).encode(), _HTML)

    def _check_token(self, form: Form) -> None:
        if self.token is not None and not hmac.compare_digest(form.token.strip().encode(), self.token.encode()):
            detail = "This service asks for a token; write it into its field."
            raise Refusal("unauthorized", detail, headers=(("WWW-Authenticate", CHALLENGE),))

    def _unjudged(self, form: Form, refused: Refusal) -> Response:
        """Answer with the page and what was sent, unjudged."""
        return self._shown(form, Reviewed(text=form.asked.body.decode("utf-8", "replace"), refusal=refused))

    def _shown(self, form: Form | None, reviewed: Reviewed) -> Response:
        refused = reviewed.refusal
        status = refused.problem.status if refused is not None else 422 if reviewed.untaken else 200
        view = view_of(self.site.service, form, reviewed, asks_token=self.token is not None)
        page = self.environment.get_template("review.html").render(view=view, version=__version__)
        response = Response(page, status=status, content_type=f"{_HTML}; charset=utf-8")
        response.headers["Content-Security-Policy"] = FORM_POLICY
        if refused is not None:
            g.problem_code = refused.problem.code
            response.headers.extend(refused.headers)
        return response


def _environment() -> Environment:
    folder = files("changeout.web") / "templates"
    environment = Environment(
        loader=DictLoader({name: (folder / name).read_text("utf-8") for name in _TEMPLATES}),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["shown"] = printable
    return environment


def _options(allowed: str) -> Callable[..., Response]:
    def view(**_: str) -> Response:
        response = Response(status=204)
        response.headers["Allow"] = allowed
        del response.headers["Content-Type"]
        return response

    return view
