"""Documents made from a proposal and its report: letter, marking, directory, request, checklist."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from changeout.application.choice import choose
from changeout.application.decisions import MEMBER, decisions_of
from changeout.application.requests import Part, Request, read_request
from changeout.application.service import Service
from changeout.domain.findings import Report
from changeout.domain.proposal import Proposal
from changeout.intake.read import ReadProposal, read_proposal
from changeout.intake.reader import read_json
from changeout.render.documents.circuit_directory import circuit_directory
from changeout.render.documents.correction_letter import correction_letter
from changeout.render.documents.fault_current_marking import fault_current_marking
from changeout.render.documents.field_evaluation_request import field_evaluation_request
from changeout.render.documents.inspection_checklist import inspection_checklist
from changeout.render.page import Page
from changeout.render.page_html import page_html
from changeout.render.page_markdown import page_markdown
from changeout.review.calculations import case_of

LETTER: Final = "correction-letter"

_MADE_FROM: Final[Mapping[str, Callable[[Report, Proposal], Page]]] = {
    "fault-current-marking": fault_current_marking,
    "circuit-directory": circuit_directory,
    "field-evaluation-request": field_evaluation_request,
    "inspection-checklist": inspection_checklist,
}

DOCUMENTS: Final = (LETTER, *_MADE_FROM)
"""The kinds of documents."""

FORMS: Final[Mapping[str, Callable[[Page], str]]] = {"text/html": page_html, "text/markdown": page_markdown}
"""The media types that a document is made in; the HTML brings its style along (see ``page_html.style_hash``)."""


def make_document(service: Service, kind: str, body: bytes, form: str, *, edition: str | None = None) -> bytes:
    """Return a document in UTF-8.

    The *body* is a proposal, or an object whose member ``proposal`` is one, with ``edition`` beside it and, for a
    correction letter, ``decisions``. *edition* overrides both.

    Raises:
        Refusal: if the body cannot be read, no ruleset can be chosen, or a decision fits no finding.
        KeyError: if no document is called *kind*, or no *form* is known by this media type.
    """
    writer, makes = FORMS[form], _MADE_FROM.get(kind)
    if makes is None and kind != LETTER:
        raise KeyError(kind)
    read, chosen, request = _read(service, body, edition, decided=kind == LETTER)
    if makes is not None:
        page = makes(_short_report(service, read, chosen), read.proposal)
    else:
        report = service.report_on(read, edition=chosen)
        page = correction_letter(report, read.proposal, decisions_of(request, report) if request else ())
    return writer(page).encode()


def _short_report(service: Service, read: ReadProposal, edition: str | None) -> Report:
    """Return a report with the fault-current calculation and without remedies and questions, which take longest."""
    report = service.report_on(read, edition=edition, detail="findings")
    ruleset, adoption = choose(read.proposal, edition, service.rulesets, service.jurisdictions_by_id)
    return replace(report, calculations=(case_of(read.proposal, ruleset, adoption).fault_current.calculation(),))


def _read(
    service: Service, body: bytes, edition: str | None, *, decided: bool
) -> tuple[ReadProposal, str | None, Request | None]:
    value = read_json(body).value
    if not isinstance(value, dict) or "proposal" not in value:
        return read_proposal(body, edition_chosen=edition is not None), edition, None
    parts = [Part("proposal", dict, required=True), Part("edition", str)]
    if decided:
        parts.append(Part(MEMBER, list))
    request = read_request(body, *parts)
    chosen = edition or request.edition(service.editions())
    return request.proposal("proposal", edition_chosen=chosen is not None), chosen, request
