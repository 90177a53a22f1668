"""The electrical supply from its source to the panelboard."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Flag, Quantity, Ratio, Size, Word, about
from changeout.intake.quantity import CURRENT, LENGTH
from changeout.intake.record import ListOf, Nested, Record
from changeout.intake.schemas.runs import RunSchema
from changeout.intake.schemas.source import MOST_RUNS, SeparatelyDerivedSchema, SourceSchema

_LETTER = "the letter of the utility or engineer"
_ONE_LINE = "the one-line diagram"


class OvercurrentDeviceSchema(Record):
    """The overcurrent device ahead of the panelboard."""

    builds = proposal.OvercurrentDevice
    example = '{"kind": "breaker", "rating": "200 A", "interrupting_rating": "22 kA"}'

    kind = Word(about("Kind of device", "Breaker or fuse.", found_at="the device"), vocabulary.OVERCURRENT_DEVICE_KINDS)
    rating = Quantity(
        about("Rating of the device ahead", "The rated or set current.", found_at="the device's marking"),
        CURRENT,
        ranges.CURRENT_RATING,
    )
    interrupting_rating = Quantity(
        about(
            "Interrupting rating of the device ahead",
            "The fault current that it is rated to interrupt at the system's voltage.",
            found_at="the device's marking",
        ),
        CURRENT,
        ranges.INTERRUPTING_RATING,
    )
    position = Word(
        about(
            "Position of the device ahead",
            "Before or after the transformer on the premises.",
            found_at=_ONE_LINE,
        ),
        vocabulary.OVERCURRENT_DEVICE_POSITIONS,
    )


class SupplySchema(Record):
    """The supply from its source to the panelboard."""

    builds = proposal.Supply
    example = '{"system": "120/240V-1ph-3w"}'

    system = Word(
        about("System", "Voltage, phases and wires at the panelboard.", found_at="the nameplate, or a measurement"),
        vocabulary.SYSTEMS,
    )
    source = Nested(about("Source", "Where the fault current comes from.", found_at=_LETTER), SourceSchema)
    runs = ListOf(
        about(
            "Runs",
            "The conductors from the source, or from the transformer on the premises, to the panelboard, in order. "
            "An empty list places the panelboard at the source's point.",
            found_at=_ONE_LINE,
        ),
        RunSchema,
        MOST_RUNS,
    )
    motor_full_load_current = Quantity(
        about(
            "Motors running on this system",
            "The full-load currents of the motors that can run at once, added, for their part in a fault current.",
            found_at="the motors' nameplates",
        ),
        CURRENT,
        ranges.MOTOR_CURRENT,
    )
    motor_multiplier = Ratio(
        about(
            "Motor multiplier",
            "How many times their full-load current the motors add to a fault; 4 unless stated.",
            found_at="an engineering study",
        ),
        ranges.MOTOR_MULTIPLIER,
        4,
    )
    separately_derived = Nested(
        about(
            "Transformer on the premises",
            "A transformer between source and panelboard. Left out: there is none.",
            found_at=_ONE_LINE,
        ),
        SeparatelyDerivedSchema,
        says_presence=True,
    )
    overcurrent_device = Nested(
        about(
            "Device ahead of the panelboard",
            "The overcurrent device ahead of the panelboard; where runs have devices between them, the one ahead of "
            "the first run. Left out: there is none.",
            found_at=_ONE_LINE,
        ),
        OvercurrentDeviceSchema,
        says_presence=True,
    )
    carries_entire_dwelling_load = Flag(
        about(
            "Carries the entire load of the dwelling",
            "Whether these conductors carry everything that the dwelling draws.",
            found_at=_ONE_LINE,
        )
    )
    separate_building = Flag(
        about(
            "In a separate building",
            "Whether a feeder or branch circuit from another building supplies this one.",
            found_at=_ONE_LINE,
        )
    )
    building = Word(
        about(
            "Building supplied",
            "What building stands at the end of the supply. Decides whether the rule on the disconnect outdoors of a "
            "dwelling fed by a feeder is asked of it, and what the rules on dwelling service conductors and on "
            "grounding in a separate building say.",
            found_at=f"{_ONE_LINE}, or a look on site",
        ),
        vocabulary.SUPPLIED_BUILDINGS,
    )
    tap = Flag(
        about(
            "Tap", "Whether the conductors are tapped from larger ones without a device at the tap.", found_at=_ONE_LINE
        )
    )
    tap_rule = Word(
        about(
            "Tap rule",
            "Which rule lets the conductors begin without a device of their ampacity: one of those for taps, or "
            "transformer-secondary for the conductors of a transformer's secondary. Decides, with the length, whether "
            "they are protected as that rule asks.",
            found_at="the conductor calculation",
        ),
        vocabulary.TAP_RULES,
    )
    tap_length = Quantity(
        about(
            "Length of the tap",
            "From the tap, or the transformer's secondary terminals, to the device at the end of the conductors. "
            "Decides whether the tap rule that is claimed holds.",
            found_at="a measurement on site",
        ),
        LENGTH,
        ranges.TAP_LENGTH,
    )
    conductors_upsized = Flag(
        about(
            "Conductors made larger",
            "Whether the phase conductors are larger than the load asks for, against voltage drop.",
            found_at="the conductor calculation",
        )
    )
    upsized_from = Size(
        about(
            "Size before enlargement",
            "The size that would have done without the enlargement.",
            found_at="the conductor calculation",
        )
    )
    system_grounding = Word(
        about("Grounding of the system", "How the system is grounded at its source.", found_at=_ONE_LINE),
        vocabulary.SYSTEM_GROUNDINGS,
    )
