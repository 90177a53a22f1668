"""Documents made from a proposal and its report: letter, marking, directory, request, checklist."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from changeout.application.choice import choose
from changeout.application.requests import Part, Request, read_request
from changeout.application.service import Service
from changeout.domain.findings import Finding, Report
from changeout.domain.problems import DocumentError, Refusal
from changeout.domain.proposal import Proposal
from changeout.intake.read import ReadProposal, read_proposal
from changeout.intake.reader import read_json
from changeout.render.documents.circuit_directory import circuit_directory
from changeout.render.documents.correction_letter import correction_letter
from changeout.render.documents.decisions import ACTIONS, NEED_TEXT, Decision
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

MOST_DECISIONS: Final = 500
"""How many decisions a request may have."""

MOST_TEXT: Final = 2000
"""How long a reviewer's text may be, in characters."""

_MEMBERS: Final = ("rule", "subject", "action", "text")


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
        page = correction_letter(report, read.proposal, _decisions(request, report) if request else ())
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
        parts.append(Part("decisions", list))
    request = read_request(body, *parts)
    chosen = edition or request.edition(service.editions())
    return request.proposal("proposal", edition_chosen=chosen is not None), chosen, request


def _decisions(request: Request, report: Report) -> tuple[Decision, ...]:
    given = request.value.get("decisions") or []
    errors = []
    if len(given) > MOST_DECISIONS:
        errors.append(("/decisions", "too-many", f"At most {MOST_DECISIONS} decisions are taken."))
    decisions: list[Decision] = []
    for place, entry in enumerate(given[:MOST_DECISIONS]):
        at = f"/decisions/{place}"
        wrong = list(_wrong(entry, at))
        if not wrong:
            decision = Decision(
                rule=entry["rule"], subject=entry.get("subject"), action=entry["action"], text=entry.get("text")
            )
            wrong = list(_unfit(decision, at, decisions, report.findings))
            decisions.append(decision)
        errors += wrong
    if errors:
        raise _refusal(request, errors)
    return tuple(decisions)


def _wrong(entry: object, at: str) -> Sequence[tuple[str, str, str]]:
    """Return what is wrong with one decision by itself: pointer, code and detail."""
    if not isinstance(entry, dict):
        return [(at, "wrong-type", "An object with rule, subject, action and text is expected here.")]
    known = ", ".join(_MEMBERS)
    found = [(f"{at}/{name}", "unknown-member", f"Known here are {known}.") for name in entry if name not in _MEMBERS]
    for name in _MEMBERS:
        value = entry.get(name)
        if value is None:
            if name in ("rule", "action"):
                found.append((f"{at}/{name}", "missing-member", "A text is expected here."))
        elif not isinstance(value, str):
            found.append((f"{at}/{name}", "wrong-type", "A text is expected here."))
    return found or [*_wrong_words(entry, at)]


def _wrong_words(entry: Mapping[str, Any], at: str) -> Sequence[tuple[str, str, str]]:
    action, text = entry["action"], entry.get("text")
    if action not in ACTIONS:
        return [(f"{at}/action", "not-in-list", f"Expected here: one of {', '.join(ACTIONS)}.")]
    if text is None and action in NEED_TEXT:
        return [(f"{at}/text", "missing-member", f"{action} needs a text that says why.")]
    if text is not None and not (text.strip() and len(text) <= MOST_TEXT):
        return [(f"{at}/text", "bad-text", f"A text of 1 to {MOST_TEXT} characters is expected here.")]
    return []


def _unfit(
    decision: Decision, at: str, earlier: Sequence[Decision], findings: Sequence[Finding]
) -> Sequence[tuple[str, str, str]]:
    if any((d.rule, d.subject) == (decision.rule, decision.subject) for d in earlier):
        return [(at, "not-unique", "There is another decision on the same finding.")]
    if not any(decision.is_about(finding) for finding in findings):
        return [
            (
                at,
                "no-such-finding",
                "Expected here: rule and subject of a finding that is no satisfied and no idle one.",
            )
        ]
    return []


def _refusal(request: Request, errors: Sequence[tuple[str, str, str]]) -> Refusal:
    places = request.text.places()
    placed = [(pointer, code, detail, places.of_value(pointer)) for pointer, code, detail in errors]
    return Refusal(
        "unreadable-request",
        f"The decisions cannot be taken; the first reason is at {errors[0][0]}: {errors[0][2]}",
        tuple(
            DocumentError(pointer=pointer, code=code, detail=detail, line=where.line, column=where.column)
            for pointer, code, detail, where in placed
        ),
    )
