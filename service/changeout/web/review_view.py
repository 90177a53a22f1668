"""Everything that the review page shows, made ready for its template."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from markupsafe import Markup

from changeout.application.answering import Field, field_for
from changeout.application.documents import DOCUMENTS, LETTER
from changeout.application.judgement import Judgement
from changeout.application.review_flow import Reviewed
from changeout.application.service import Service
from changeout.domain.findings import Question, Report
from changeout.domain.problems import Refusal
from changeout.domain.proposal import Proposal
from changeout.intake.naming import ProposalMembers
from changeout.render.calculation_blocks import calculation_blocks
from changeout.render.documents.decisions import ACTIONS
from changeout.render.page import Picture
from changeout.render.page_html import blocks_html
from changeout.render.pictures import pictures_of
from changeout.render.places import place_name
from changeout.render.report_page import VERDICTS
from changeout.web.review_cards import (
    Card,
    Part,
    Reason,
    parts_of,
    reasons_of,
    satisfied_of,
)
from changeout.web.review_form import Form
from changeout.web.review_lines import MOST_LINES, Line, in_a_field, lines_of, rests_of

REPORT: Final = "report"
_TITLES: Final = {
    LETTER: "Correction letter",
    "inspection-checklist": "Inspection checklist",
    "fault-current-marking": "Fault-current marking",
    "circuit-directory": "Circuit directory",
    "field-evaluation-request": "Request for a field evaluation",
    REPORT: "Whole report",
}
_ACTION_WORDS: Final = {
    "keep": "Keep in the letter",
    "drop": "Drop, with a reason",
    "defer": "Leave to the inspection",
    "note": "Keep, with a note",
}
_WAIVED_WORDS: Final = (
    ("", "Leave it waived"),
    ("keep", "Do not accept the waiver"),
    ("defer", "Leave to the inspection"),
    ("note", "Leave it waived, with a note"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A member that is asked for: its place in words where it lies in a list, its field, and an answer not taken."""

    pointer: str
    name: str
    field: Field | None
    untaken: str
    given: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """A question, once for all its places: *ask* is the question, *more* what it means and where its answer is found.

    *sweep* is the first of the places whose answer flips at a number, empty where there is none.
    """

    ask: str
    more: str
    bears_on: int
    places: tuple[Place, ...]
    sweep: str

    @property
    def answerable(self) -> bool:
        """Whether any place has a field."""
        return any(place.field is not None for place in self.places)


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """A calculation with its steps as HTML."""

    title: str
    content: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The judged part of the page."""

    report: Report
    verdict: str
    before_waivers: str
    parts: tuple[Part, ...]
    questions: int
    asked: tuple[Asking, ...]
    satisfied: tuple[Card, ...]
    satisfied_count: int
    reasons: tuple[Reason, ...]
    idle_count: int
    pictures: tuple[Picture, ...]
    calculations: tuple[Worked, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """The page: what can be chosen, what was sent, what came of it."""

    editions: tuple[str, ...]
    jurisdictions: tuple[tuple[str, str], ...]
    examples: tuple[str, ...]
    documents: tuple[tuple[str, str], ...]
    actions: tuple[tuple[str, str], ...]
    waived_actions: tuple[tuple[str, str], ...]
    edition: str
    jurisdiction: str
    text: str
    before: str
    notes: tuple[str, ...]
    untaken: tuple[tuple[str, str], ...]
    refusal: Refusal | None
    lines: tuple[Line, ...]
    more_lines: int
    shown: Shown | None
    comparison: Mapping[str, Any] | None
    sweep: Any
    decisions: Mapping[str, tuple[str, str]]
    by: str
    asks_token: bool
    token: str
    verdicts: Mapping[str, str]


def view_of(service: Service, form: Form | None, reviewed: Reviewed, *, asks_token: bool) -> View:
    """Return what the page shows of a review."""
    judgement = reviewed.judgement
    report = judgement.report if judgement else None
    rests = _rests(judgement)
    errors = reviewed.refusal.errors if reviewed.refusal and judgement is None else ()
    count = reviewed.text.count("\n") + 1
    return View(
        editions=service.editions(),
        jurisdictions=tuple((one["id"], one["name"]) for one in service.jurisdictions()),
        examples=service.examples(),
        documents=tuple((kind, _TITLES[kind]) for kind in (*DOCUMENTS, REPORT)),
        actions=tuple((action, _ACTION_WORDS[action]) for action in ACTIONS),
        waived_actions=_WAIVED_WORDS,
        edition=(form.asked.edition if form else None) or "",
        jurisdiction=(judgement.read.proposal.project.jurisdiction.value if judgement else None) or "",
        text=in_a_field(reviewed.text),
        before=in_a_field(reviewed.before or ""),
        notes=reviewed.notes,
        untaken=tuple((ProposalMembers().label(pointer), reason) for pointer, reason in reviewed.untaken.items()),
        refusal=reviewed.refusal,
        lines=lines_of(reviewed.text, report.findings if report else (), rests, errors) if reviewed.text else (),
        more_lines=max(0, count - MOST_LINES),
        shown=_shown(judgement, reviewed, form, rests) if judgement else None,
        comparison=reviewed.comparison,
        sweep=reviewed.sweep,
        decisions=form.decisions if form else {},
        by=form.by if form else "",
        asks_token=asks_token,
        token=form.token if form else "",
        verdicts=VERDICTS,
    )


def _rests(judgement: Judgement | None) -> list[Any]:
    if judgement is None or judgement.read.within.text is None:
        return []
    places = judgement.read.within.text.places()
    return [rests_of(finding, judgement.read.document, places) for finding in judgement.report.findings]


def _shown(judgement: Judgement, reviewed: Reviewed, form: Form | None, rests: Sequence[Any]) -> Shown:
    report, proposal = judgement.report, judgement.read.proposal
    satisfied = satisfied_of(report, proposal, rests)
    return Shown(
        report=report,
        verdict=VERDICTS[report.verdict],
        before_waivers=VERDICTS[report.verdict_before_waivers].lower()
        if report.verdict_before_waivers != report.verdict
        else "",
        parts=parts_of(report, proposal, rests),
        questions=len(report.questions),
        asked=_asked(report.questions, proposal, reviewed, form.asked.answers if form else {}),
        satisfied=satisfied,
        satisfied_count=report.counts["satisfied"],
        reasons=reasons_of(report),
        idle_count=report.counts["not-applicable"],
        pictures=pictures_of(proposal, report.calculations),
        calculations=tuple(
            Worked(title=one.title, content=Markup(blocks_html(tuple(calculation_blocks(one)), level=3)))  # noqa: S704
            for one in report.calculations
        ),
    )


def _asked(
    questions: Sequence[Question], proposal: Proposal, reviewed: Reviewed, answers: Mapping[str, tuple[str, ...]]
) -> tuple[Asking, ...]:
    """Return the questions, those that ask the same of several places as one, in the order of the first."""
    same: dict[tuple[str, tuple[str, ...]], list[Question]] = {}
    for question in questions:
        same.setdefault((question.ask, question.decides), []).append(question)
    found = []
    for (asked, decides), its in same.items():
        ask, _, more = asked.partition("? ")
        found.append(
            Asking(
                ask=f"{ask}?" if more else asked,
                more=more,
                bears_on=len(decides),
                places=tuple(_place(question, proposal, reviewed, answers) for question in its),
                sweep=next((question.pointer for question in its if question.threshold is not None), ""),
            )
        )
    return tuple(found)


def _place(question: Question, proposal: Proposal, reviewed: Reviewed, answers: Mapping[str, tuple[str, ...]]) -> Place:
    pointer = question.pointer
    name = place_name(pointer, proposal)
    place = name.partition(", ")[0] if name != pointer else ""
    untaken = reviewed.untaken.get(pointer, "")
    return Place(
        pointer=pointer,
        name=f"{place[:1].upper()}{place[1:]}",
        field=field_for(pointer),
        untaken=untaken,
        given=answers.get(pointer, ()) if untaken else (),
    )
