"""From bytes, or a JSON value already read, to a proposal; or a refusal with every error and its place."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from marshmallow import ValidationError

from changeout.domain.problems import DocumentError, Refusal
from changeout.domain.proposal import Proposal
from changeout.intake.build import build_proposal
from changeout.intake.canonical import canonical_proposal
from changeout.intake.cross_checks import cross_checks, lacks_edition
from changeout.intake.flaws import FoundFlaw, found_flaws
from changeout.intake.placing import Places, Position
from changeout.intake.pointers import within_reason
from changeout.intake.reader import JsonText, read_json
from changeout.intake.schemas.proposal import PROPOSAL

MOST_ERRORS: Final = 100
"""How many errors a refusal names."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Within:
    """Where a proposal stands in a larger document, for the places of its errors."""

    text: JsonText | None = None
    pointer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadProposal:
    """A proposal as read.

    ``canonical`` is what a decision rests on, as JSON values in base units. ``document`` is the JSON value as sent,
    ``within`` where it stands.
    """

    proposal: Proposal
    reference: str | None
    annotations: Mapping[str, str]
    canonical: Mapping[str, Any]
    document: Mapping[str, Any]
    within: Within

    def placed(self, refused: Refusal) -> Refusal:
        """Return a refusal of this proposal with its pointers led into the text, and lines and columns added."""
        places = self.within.text.places() if self.within.text else None
        return Refusal(
            refused.problem.code,
            refused.detail,
            tuple(_placed(error, self.within.pointer, places) for error in refused.errors),
            refused.headers,
        )


def read_proposal(body: bytes, *, edition_chosen: bool = False) -> ReadProposal:
    """Return the proposal that *body* is.

    *edition_chosen* says that the edition comes from elsewhere, so that the proposal need not name one.

    Raises:
        Refusal: if it is not JSON as this service takes it, or no proposal, with all errors.
    """
    text = read_json(body)
    return read_value(text.value, within=Within(text=text), edition_chosen=edition_chosen)


def read_value(document: object, *, within: Within | None = None, edition_chosen: bool = False) -> ReadProposal:
    """Return the proposal that a JSON value is.

    Raises:
        Refusal: if it is no proposal, with all errors; they have lines and columns where *within* has the text.
    """
    try:
        read = PROPOSAL.take(document)
        flaws: list[FoundFlaw] = []
    except ValidationError as error:
        read = error.valid_data if isinstance(error.valid_data, dict) else {}
        flaws = list(found_flaws(error.messages, ""))
    flaws.extend(cross_checks(read))
    if isinstance(document, dict) and not edition_chosen:
        lacking = lacks_edition(document)
        flaws.extend([lacking] if lacking else [])
    if flaws or not isinstance(document, dict):
        raise refusal("unreadable-proposal", flaws, within or Within())
    project = read["project"]
    return ReadProposal(
        proposal=build_proposal(read),
        reference=project.get("reference"),
        annotations=project.get("annotations") or {},
        canonical=canonical_proposal(read),
        document=document,
        within=within or Within(),
    )


def refusal(code: str, flaws: Iterable[FoundFlaw], within: Within) -> Refusal:
    """Return the refusal that names the first hundred *flaws* in the order in which they stand in the text."""
    places = within.text.places() if within.text else None
    placed = sorted(((_place(found, within.pointer, places), found) for found in flaws), key=_order)
    errors = tuple(_error(found, within.pointer, position) for position, found in placed[:MOST_ERRORS])
    count = f"{len(placed)} errors" if len(placed) > 1 else "1 error"
    shown = f", of which the first {MOST_ERRORS} are listed" if len(placed) > MOST_ERRORS else ""
    first = errors[0]
    where = f"line {first.line}, column {first.column}" if first.line else f"{first.pointer or 'the document itself'}"
    return Refusal(code, f"The document has {count}{shown}; the first is at {where}: {first.detail}", errors)


def _placed(error: DocumentError, below: str, places: Places | None) -> DocumentError:
    pointer = below + error.pointer
    line, column = places.of_value(pointer) if places else (None, None)
    return dataclasses.replace(error, pointer=pointer, line=line, column=column)


def _place(found: FoundFlaw, below: str, places: Places | None) -> Position | None:
    if places is None:
        return None
    pointer = below + found.pointer
    return places.of_key(pointer) if found.flaw.code == "unknown-member" else places.of_value(pointer)


def _order(placed: tuple[Position | None, FoundFlaw]) -> tuple[Position, str, str]:
    position, found = placed
    return position or Position(0, 0), found.pointer, found.flaw.code


def _error(found: FoundFlaw, below: str, position: Position | None) -> DocumentError:
    detail, suggestion = found.flaw.by.explain(found.flaw.code, found.flaw.value)
    return DocumentError(
        pointer=within_reason(below + found.pointer),
        code=found.flaw.code,
        detail=detail,
        line=position.line if position else None,
        column=position.column if position else None,
        suggestion=suggestion,
        also=tuple(below + pointer for pointer in found.also),
    )
