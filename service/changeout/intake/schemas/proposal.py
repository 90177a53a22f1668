"""The proposal as a whole."""

from __future__ import annotations

from typing import Final

from changeout.domain import proposal, vocabulary
from changeout.intake.fields import Version, about
from changeout.intake.record import ListOf, Nested, Record
from changeout.intake.schemas.documents import DocumentSchema, WaiverSchema
from changeout.intake.schemas.enclosure import EnclosureSchema, LocationSchema
from changeout.intake.schemas.former import FormerPanelboardSchema
from changeout.intake.schemas.grounding import GroundingSchema
from changeout.intake.schemas.load import LoadSchema
from changeout.intake.schemas.panelboard import PanelboardSchema
from changeout.intake.schemas.project import ProjectSchema, WorkSchema
from changeout.intake.schemas.service import GenerationSchema, ServiceSchema
from changeout.intake.schemas.supply import SupplySchema

_MOST_SOURCES = 50
_MOST_DOCUMENTS = 100
_MOST_WAIVERS = 100


class ProposalSchema(Record):
    """A proposed panelboard replacement."""

    builds = proposal.Proposal
    example = (
        '{"changeout": 1, "project": {"edition": "2023", "occupancy": "commercial"}, '
        '"work": {"scope": "enclosed-panelboard"}}'
    )

    changeout = Version(
        about("Document version", "The version of this document.", found_at="this schema"),
        vocabulary.DOCUMENT_VERSION,
        required=True,
    )
    project = Nested(
        about("Project", "Whose rules apply.", found_at="the permit application"), ProjectSchema, required=True
    )
    work = Nested(
        about("Work", "What is proposed, or was done.", found_at="the scope of work"), WorkSchema, required=True
    )
    supply = Nested(
        about("Supply", "From the source of power to the panelboard.", found_at="the one-line diagram"), SupplySchema
    )
    panelboard = Nested(
        about("Panelboard", "The replacement panelboard.", found_at="the nameplate of the panelboard"), PanelboardSchema
    )
    former_panelboard = Nested(
        about("Former panelboard", "The panelboard that was there before.", found_at="the nameplate of the former one"),
        FormerPanelboardSchema,
    )
    enclosure = Nested(
        about("Enclosure", "The box that the panelboard sits in.", found_at="a look on site"), EnclosureSchema
    )
    location = Nested(about("Location", "Where the panelboard stands.", found_at="a look on site"), LocationSchema)
    load_ = Nested(
        about("Load", "The load calculation, by one method.", found_at="the load calculation sheet"), LoadSchema
    )
    grounding = Nested(
        about("Grounding", "Grounding and bonding at the panelboard.", found_at="a look on site"), GroundingSchema
    )
    service = Nested(about("Service", "Service equipment and disconnects.", found_at="a look on site"), ServiceSchema)
    generation = ListOf(
        about(
            "Other sources",
            "Sources of power besides the supply. An empty list says that there is none; left out, nobody asked.",
            found_at="the one-line diagram",
        ),
        GenerationSchema,
        _MOST_SOURCES,
    )
    documents = ListOf(
        about("Documents", "The evidence that other members name.", found_at="the permit file"),
        DocumentSchema,
        _MOST_DOCUMENTS,
    )
    waivers = ListOf(
        about("Waivers", "Rules that were set aside, by whom and why.", found_at="the authority's decisions"),
        WaiverSchema,
        _MOST_WAIVERS,
    )


PROPOSAL: Final = ProposalSchema()
"""The one instance that reads every proposal."""
