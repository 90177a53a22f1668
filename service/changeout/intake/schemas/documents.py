"""Evidence that a proposal names, and findings that somebody has set aside."""

from __future__ import annotations

from changeout.domain import facts, proposal, vocabulary
from changeout.intake.fields import Day, Text, Word, about
from changeout.intake.record import Record

_ITSELF = "the document itself"
_DECISION = "the written decision of the authority"


class DocumentSchema(Record):
    """A document that other members name by its id."""

    builds = facts.Document
    example = '{"id": "d1", "kind": "utility-letter"}'

    id = Text(
        about("Id of the document", "Unique among the documents.", found_at="the sender's files"),
        64,
        "d1",
        required=True,
    )
    kind = Word(about("Kind of document", "What it is.", found_at=_ITSELF), vocabulary.DOCUMENT_KINDS)
    title = Text(
        about("Title of the document", "Its title.", found_at=_ITSELF), 200, "Letter on available fault current"
    )
    dated = Day(about("Date of the document", "The day it bears.", found_at=_ITSELF))


class WaiverSchema(Record):
    """A rule whose violation somebody with the power to do so has set aside."""

    builds = proposal.Waiver
    example = (
        '{"rule": "working-space-depth", "reason": "existing room", "granted_by": "authority having jurisdiction"}'
    )

    rule = Text(about("Rule", "The id of the rule.", found_at=_DECISION), 128, "working-space-depth", required=True)
    reason = Text(about("Reason", "Why it is waived.", found_at=_DECISION), 500, "existing room", required=True)
    granted_by = Text(
        about("Granted by", "Who granted it.", found_at=_DECISION), 128, "authority having jurisdiction", required=True
    )
    expires_on = Day(about("Expires on", "The last day on which it holds.", found_at=_DECISION))
