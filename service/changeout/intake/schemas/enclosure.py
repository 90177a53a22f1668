"""The box the panelboard sits in, and the place where it stands."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Count, DocumentRef, Flag, Quantity, Word, Words, about
from changeout.intake.quantity import CURRENT, LENGTH, SMALL_AREA
from changeout.intake.record import Nested, Record

_BOX = "the marking of the enclosure"
_SITE = "a look on site"
_MEASURED = "a measurement on site"
_LABEL = "the field label and its report"


class FieldLabelSchema(Record):
    """The label of a field evaluation of the completed work."""

    builds = proposal.FieldLabel
    example = '{"state": "applied", "evaluated_for": "14 kA", "document": "d4"}'

    state = Word(
        about("State of the field label", "Applied, arranged for, or none.", found_at=_LABEL),
        vocabulary.FIELD_LABEL_STATES,
    )
    evaluated_for = Quantity(
        about("Evaluated for", "The fault current that the evaluation covers.", found_at=_LABEL),
        CURRENT,
        ranges.INTERRUPTING_RATING,
    )
    document = DocumentRef(
        about("Document of the evaluation", "The id of the evaluation's report or order.", found_at=_LABEL), 64, "d4"
    )


class EnclosureSchema(Record):
    """The box the panelboard sits in."""

    builds = proposal.Enclosure
    example = '{"kind": "existing", "listed_for_panelboard": false, "type": "1"}'

    kind = Word(
        about("Existing or new", "Whether the enclosure stays or comes with the work.", found_at="the scope of work"),
        vocabulary.ENCLOSURE_KINDS,
    )
    listed_for_panelboard = Flag(
        about(
            "Panelboard listed for this enclosure",
            "Whether the panelboard is listed for use in this very enclosure.",
            found_at="the listing or the manufacturer's instructions",
        )
    )
    listing_document = DocumentRef(
        about("Document of that listing", "The id of the document that shows it.", found_at="the listing"), 64, "d1"
    )
    former_listing_marks = Word(
        about(
            "Marks of the former panelboard",
            "Whether listing marks of the panelboard that was there are still on the enclosure.",
            found_at=_SITE,
        ),
        vocabulary.FORMER_LISTING_MARKS,
    )
    field_label = Nested(about("Field label", "The label of a field evaluation.", found_at=_LABEL), FieldLabelSchema)
    dead_front = Flag(about("Dead front", "Whether no live part can be touched with the door open.", found_at=_SITE))
    type = Word(about("Enclosure type", "The type number marked on it.", found_at=_BOX), vocabulary.ENCLOSURE_TYPES)
    material = Word(about("Enclosure material", "What it is made of.", found_at=_SITE), vocabulary.ENCLOSURE_MATERIALS)
    condition = Word(about("Condition", "The state it is in.", found_at=_SITE), vocabulary.ENCLOSURE_CONDITIONS)
    reconditioned = Flag(about("Enclosure reconditioned", "Whether it is a reconditioned one.", found_at=_BOX))
    unused_openings_closed = Flag(
        about("Unused openings closed", "Whether every opening that is not used is closed.", found_at=_SITE)
    )
    wire_bending_space = Quantity(
        about("Wire-bending space", "From the main terminals to the wall that they face.", found_at=_MEASURED),
        LENGTH,
        ranges.DIMENSION,
    )
    cover_origin = Word(
        about("Origin of the cover", "Where the cover or trim comes from.", found_at=_SITE), vocabulary.COVER_ORIGINS
    )
    identified_for_environment = Flag(
        about("Identified for the environment", "Whether it is identified for the place it is in.", found_at=_BOX)
    )
    top_entries_wet_listed = Flag(
        about(
            "Top entries for wet places",
            "Whether what enters above live parts is listed for wet places.",
            found_at=_SITE,
        )
    )
    feed_through_label = Flag(
        about(
            "Feed-through label",
            "Whether a label names the disconnect of conductors that only pass through.",
            found_at=_SITE,
        )
    )
    terminal_faces_wall = Flag(
        about(
            "Conductors leave through the facing wall",
            "Whether conductors enter or leave through the wall that their terminal faces.",
            found_at=_SITE,
        )
    )
    width = Quantity(about("Width of the enclosure", "Inside.", found_at=_MEASURED), LENGTH, ranges.DIMENSION)
    top_height = Quantity(
        about("Height of its top", "From the floor or platform to the top.", found_at=_MEASURED),
        LENGTH,
        ranges.DIMENSION,
    )
    wiring_space_area = Quantity(
        about("Wiring space", "The cross-section of the wiring space.", found_at=_MEASURED),
        SMALL_AREA,
        ranges.WIRING_AREA,
    )
    spliced_area = Quantity(
        about("Area of conductors and splices", "All at one cross-section, added.", found_at=_MEASURED),
        SMALL_AREA,
        ranges.FILLED_AREA,
    )
    passing_area = Quantity(
        about("Area of passing conductors", "All at one cross-section, added.", found_at=_MEASURED),
        SMALL_AREA,
        ranges.FILLED_AREA,
    )
    wires_per_terminal = Count(
        about("Wires on a terminal", "How many conductors are on each main terminal.", found_at=_SITE), ranges.WIRES, 1
    )
    mounting = Word(
        about(
            "Mounting",
            "surface: on the wall. flush: let into it. Decides whether a damp or wet place asks for air behind it.",
            found_at=_SITE,
        ),
        vocabulary.ENCLOSURE_MOUNTINGS,
    )
    air_space = Quantity(
        about(
            "Air space behind the enclosure",
            "Between the back of an enclosure on the surface and the wall; decides whether it suits a damp or wet "
            "place.",
            found_at=_MEASURED,
        ),
        LENGTH,
        ranges.AIR_SPACE,
    )


class WorkingSpaceSchema(Record):
    """The clear space in front of the panelboard."""

    builds = proposal.WorkingSpace
    example = '{"depth": "36 in", "width": "30 in", "height": "78 in", "opposite": "insulated"}'

    depth = Quantity(
        about("Depth of the working space", "From the enclosure's front outward.", found_at=_MEASURED),
        LENGTH,
        ranges.DIMENSION,
    )
    width = Quantity(
        about("Width of the working space", "Along the enclosure's front.", found_at=_MEASURED),
        LENGTH,
        ranges.DIMENSION,
    )
    height = Quantity(
        about("Height of the working space", "From the floor upward.", found_at=_MEASURED), LENGTH, ranges.DIMENSION
    )
    opposite = Word(
        about("Opposite side", "What faces the enclosure across the space.", found_at=_SITE), vocabulary.OPPOSITE_SIDES
    )
    floor_clear_and_flat = Flag(
        about("Floor clear and flat", "Whether floor or ground is clear, level and flat.", found_at=_SITE)
    )
    egress_width_doors_open = Quantity(
        about(
            "Way out with doors open",
            "The width that is left to leave by when the equipment's doors are open.",
            found_at=_MEASURED,
        ),
        LENGTH,
        ranges.DIMENSION,
    )
    door_distance = Quantity(
        about("Distance of the door", "From the working space's edge to the door in the way out.", found_at=_MEASURED),
        LENGTH,
        ranges.DISTANCE,
    )
    door_hardware = Word(
        about("Hardware of the door", "What opens that door.", found_at=_SITE), vocabulary.DOOR_HARDWARES
    )
    entrances = Count(
        about("Entrances", "How many entrances the working space has.", found_at=_SITE), ranges.ENTRANCES, 1
    )
    unobstructed_exit = Flag(
        about("Unobstructed way out", "Whether a continuous way out is free of obstacles.", found_at=_SITE)
    )


class LocationSchema(Record):
    """Where the panelboard stands."""

    builds = proposal.Location
    example = '{"conditions": ["dry"], "room": "utility-room"}'

    conditions = Words(
        about("Conditions of the place", "Every condition that holds there.", found_at=_SITE), vocabulary.CONDITIONS
    )
    room = Word(about("Room", "The room or place.", found_at=_SITE), vocabulary.ROOMS)
    working_space = Nested(about("Working space", "The clear space in front.", found_at=_MEASURED), WorkingSpaceSchema)
    dedicated_space_clear = Flag(
        about(
            "Dedicated space clear",
            "Whether the space above and below is free of piping, ducts and the like.",
            found_at=_SITE,
        )
    )
    highest_handle = Quantity(
        about(
            "Highest handle", "The grip of the highest handle in its top position, from the floor.", found_at=_MEASURED
        ),
        LENGTH,
        ranges.DIMENSION,
    )
    readily_accessible = Flag(
        about("Readily accessible", "Whether it can be reached without climbing or removing things.", found_at=_SITE)
    )
    existing = Flag(about("Existing place", "Whether a panelboard stood there before.", found_at="the scope of work"))
    lawful_when_installed = Flag(
        about(
            "Lawful when installed",
            "Whether the place was allowed when the former panelboard was installed.",
            found_at="the old permit",
        )
    )
    over_steps = Flag(about("Over steps", "Whether it is over the steps of a stairway.", found_at=_SITE))
    illumination = Flag(about("Illumination", "Whether the working space is lit.", found_at=_SITE))
    occupant_access = Flag(
        about("Access of occupants", "Whether each occupant can reach the devices of their unit.", found_at=_SITE)
    )
    qualified_persons_only = Flag(
        about("Qualified persons only", "Whether only qualified persons can get at it.", found_at=_SITE)
    )
