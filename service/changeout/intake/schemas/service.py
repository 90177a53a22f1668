"""What is asked of service equipment, of disconnects, and of other sources."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Count, Flag, Quantity, Text, Word, about
from changeout.intake.quantity import CURRENT, LENGTH
from changeout.intake.record import Nested, Record

_SITE = "a look on site"
_LABEL = "the label on the equipment"
_ONE_LINE = "the one-line diagram"


class SurgeProtectionSchema(Record):
    """The surge-protective device."""

    builds = proposal.SurgeProtection
    example = '{"kind": "type-2", "nominal_discharge_current": "10 kA"}'

    kind = Word(
        about("Kind of surge protection", "Its type; none: there is none.", found_at="the marking of the device"),
        vocabulary.SURGE_PROTECTION_KINDS,
    )
    nominal_discharge_current = Quantity(
        about("Nominal discharge current", "Its rating.", found_at="the marking of the device"),
        CURRENT,
        ranges.DISCHARGE_CURRENT,
    )


class ServiceSchema(Record):
    """What is asked of service equipment, and of disconnects."""

    builds = proposal.Service
    example = '{"disconnects": 1, "emergency_disconnect": "outdoor-marked"}'

    disconnects = Count(
        about("Service disconnects", "How many disconnects the service has.", found_at=_SITE), ranges.DISCONNECTS, 1
    )
    disconnects_grouping = Word(
        about("Grouping of the disconnects", "How several disconnects are housed.", found_at=_SITE),
        vocabulary.DISCONNECTS_GROUPINGS,
    )
    disconnects_existing = Flag(
        about("Disconnects existing", "Whether the disconnects were there before the work.", found_at=_SITE)
    )
    emergency_disconnect = Word(
        about("Emergency disconnect", "Whether there is one outdoors, and marked.", found_at=_SITE),
        vocabulary.EMERGENCY_DISCONNECTS,
    )
    emergency_disconnect_is = Word(
        about("What the emergency disconnect is", "Which device serves as one.", found_at=_SITE),
        vocabulary.EMERGENCY_DISCONNECT_ROLES,
    )
    emergency_disconnect_marking = Text(
        about("Marking of the emergency disconnect", "The words on it.", found_at=_LABEL),
        200,
        "EMERGENCY DISCONNECT, SERVICE DISCONNECT",
    )
    surge_protection = Nested(
        about("Surge protection", "The surge-protective device.", found_at=_SITE), SurgeProtectionSchema
    )
    line_side_barriers = Flag(
        about(
            "Line-side barriers",
            "Whether nothing live on the line side can be touched with the disconnect open.",
            found_at=_SITE,
        )
    )
    fault_current_marking = Flag(
        about("Fault-current marking", "Whether fault current and date of calculation are marked.", found_at=_LABEL)
    )
    arc_flash_label = Flag(
        about("Arc-flash label", "Whether a label gives the data of an arc-flash study.", found_at=_LABEL)
    )
    arc_flash_warning = Flag(about("Arc-flash warning", "Whether a warning is marked.", found_at=_LABEL))
    disconnect_marked = Flag(about("Disconnect marked", "Whether the disconnect is marked as one.", found_at=_LABEL))
    sources_directory = Flag(
        about("Directory of sources", "Whether a directory names every source of power.", found_at=_SITE)
    )
    upstream_disconnect_outdoors_in_sight = Flag(
        about(
            "Upstream disconnect outdoors",
            "Whether a disconnect ahead is outdoors, within sight of the building.",
            found_at=_SITE,
        )
    )
    previous_fault_current_marking = Quantity(
        about("Former fault-current marking", "The fault current that the old marking gives.", found_at=_LABEL),
        CURRENT,
        ranges.FAULT_CURRENT,
    )
    distance_inside = Quantity(
        about(
            "Distance inside",
            "How far service conductors run inside the building before the disconnect.",
            found_at="a measurement on site",
        ),
        LENGTH,
        ranges.DISTANCE,
    )
    transfer_equipment = Word(
        about("Transfer equipment", "What keeps a standby source and the supply apart.", found_at=_SITE),
        vocabulary.TRANSFER_EQUIPMENTS,
    )


class GenerationSchema(Record):
    """A source of power besides the supply."""

    builds = proposal.GenerationSource
    example = '{"kind": "pv", "output_current": "32 A", "breaker_rating": "40 A", "position": "opposite-end"}'

    kind = Word(about("Kind of source", "What it is.", found_at=_ONE_LINE), vocabulary.GENERATION_KINDS)
    output_current = Quantity(
        about("Output current", "Its rated output current.", found_at="the nameplate of the inverter or generator"),
        CURRENT,
        ranges.CURRENT_RATING,
    )
    breaker_rating = Quantity(
        about("Breaker of the source", "The rating of its breaker.", found_at="the marking of the breaker"),
        CURRENT,
        ranges.CURRENT_RATING,
    )
    position = Word(
        about("Position of its breaker", "At the end of the busbar opposite the supply, or not.", found_at=_SITE),
        vocabulary.GENERATION_POSITIONS,
    )
    connection = Word(
        about("Connection", "On which side of the service disconnect it connects.", found_at=_ONE_LINE),
        vocabulary.GENERATION_CONNECTIONS,
    )
    relocation_label = Flag(
        about("Label against relocation", "Whether a label forbids moving its breaker.", found_at=_LABEL)
    )
