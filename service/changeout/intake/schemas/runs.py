"""Runs of conductors."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Count, Quantity, Size, Text, Word, about
from changeout.intake.quantity import CONDUCTOR_IMPEDANCE, CURRENT, LENGTH, TEMPERATURE
from changeout.intake.record import Nested, Record

_ONE_LINE = "the one-line diagram"
_DEVICE = "the device's marking"


class RunDeviceSchema(Record):
    """The overcurrent device at the end of a run."""

    builds = proposal.RunDevice
    example = '{"kind": "fuse", "rating": "200 A", "interrupting_rating": "100 kA"}'

    kind = Word(about("Kind of device", "Breaker or fuse.", found_at="the device"), vocabulary.OVERCURRENT_DEVICE_KINDS)
    rating = Quantity(
        about(
            "Rating of the device after the run",
            "The rated or set current. Decides the protection of the conductors after it.",
            found_at=_DEVICE,
        ),
        CURRENT,
        ranges.CURRENT_RATING,
    )
    interrupting_rating = Quantity(
        about(
            "Interrupting rating of the device after the run",
            "The fault current that it is rated to interrupt at the system's voltage. It is judged by the fault "
            "current at the end of its run.",
            found_at=_DEVICE,
        ),
        CURRENT,
        ranges.INTERRUPTING_RATING,
    )


class RunSchema(Record):
    """Conductors of one kind and length."""

    builds = proposal.Run
    example = '{"id": "lateral", "size": "4/0 AWG", "material": "aluminum", "length": "60 ft"}'

    id = Text(
        about("Id of the run", "The sender's name for it, unique among all runs.", found_at=_ONE_LINE), 64, "lateral"
    )
    size = Size(about("Conductor size", "The size of each phase conductor.", found_at="the marking on the conductor"))
    material = Word(
        about("Conductor material", "What the conductors are made of.", found_at="the marking on the conductor"),
        vocabulary.CONDUCTOR_MATERIALS,
    )
    length = Quantity(
        about("Length of the run", "One way, along the conductors.", found_at=f"{_ONE_LINE}, or a measurement on site"),
        LENGTH,
        ranges.RUN_LENGTH,
    )
    sets = Count(
        about("Parallel sets", "How many conductors of each phase are in parallel.", found_at=_ONE_LINE), ranges.SETS, 1
    )
    raceway = Word(
        about("Raceway material", "What the raceway or the cable's covering is made of.", found_at="a look on site"),
        vocabulary.RACEWAYS,
    )
    insulation_temperature = Quantity(
        about(
            "Insulation temperature",
            "The temperature rating of the insulation.",
            found_at="the marking on the conductor",
        ),
        TEMPERATURE,
        ranges.INSULATION_TEMPERATURE,
    )
    resistance = Quantity(
        about(
            "Conductor resistance",
            "Alternating-current resistance to neutral of one conductor. Replaces the table's value.",
            found_at="the conductor maker's data",
        ),
        CONDUCTOR_IMPEDANCE,
        ranges.IMPEDANCE_OF_CONDUCTOR,
    )
    reactance = Quantity(
        about(
            "Conductor reactance",
            "Reactance to neutral of one conductor. Replaces the table's value.",
            found_at="the conductor maker's data",
        ),
        CONDUCTOR_IMPEDANCE,
        ranges.IMPEDANCE_OF_CONDUCTOR,
    )
    ambient_temperature = Quantity(
        about(
            "Ambient temperature", "The highest ambient temperature along the run.", found_at="local weather records"
        ),
        TEMPERATURE,
        ranges.AMBIENT_TEMPERATURE,
    )
    current_carrying_conductors = Count(
        about(
            "Current-carrying conductors",
            "How many conductors that carry current are in the same raceway or cable.",
            found_at="a look on site",
        ),
        ranges.CONDUCTORS,
        3,
    )
    device_after = Nested(
        about(
            "Device after the run",
            "The overcurrent device at the end of this run, which what follows starts from. Left out: none is stated.",
            found_at=_ONE_LINE,
        ),
        RunDeviceSchema,
        says_presence=True,
    )
