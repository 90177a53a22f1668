"""The circuits of the panelboard."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Count, Flag, PowerOrCurrent, Quantity, Size, Text, VoltageRating, Word, about
from changeout.intake.quantity import CURRENT, EQUIPMENT_LOAD, LENGTH, TEMPERATURE
from changeout.intake.record import Nested, Record

_BREAKER = "the marking of the breaker"
_SITE = "a look on site"
_DIRECTORY = "the circuit directory"
_CONDUCTOR = "the marking on the conductor"
_SCOPE = "the scope of work"


class BreakerSchema(Record):
    """A branch or feeder breaker."""

    builds = proposal.Breaker
    example = '{"rating": "20 A", "interrupting_rating": "10 kA"}'

    rating = Quantity(
        about("Rating of the breaker", "The rated or set current.", found_at=_BREAKER), CURRENT, ranges.CURRENT_RATING
    )
    interrupting_rating = Quantity(
        about(
            "Interrupting rating of the breaker",
            "The fault current that it is rated to interrupt at the system's voltage.",
            found_at=_BREAKER,
        ),
        CURRENT,
        ranges.INTERRUPTING_RATING,
    )
    afci = Flag(about("Arc-fault protection", "Whether the breaker gives arc-fault protection.", found_at=_BREAKER))
    gfci = Flag(about("Ground-fault protection", "Whether the breaker protects people.", found_at=_BREAKER))
    suitable_for_panelboard = Flag(
        about(
            "Suitable for the panelboard",
            "Whether the panelboard's labeling names this type of breaker.",
            found_at="the nameplate of the panelboard",
        )
    )
    backfed = Flag(about("Back-fed", "Whether the supply comes in through this breaker.", found_at=_SITE))
    secured = Flag(about("Secured in place", "Whether a fastener holds it besides the plug-on jaw.", found_at=_SITE))
    voltage_rating = VoltageRating(
        about("Voltage rating of the breaker", "As marked, straight or with a slash.", found_at=_BREAKER)
    )
    reconditioned = Flag(about("Breaker reconditioned", "Whether it is a reconditioned one.", found_at=_BREAKER))
    handle_tie = Flag(about("Handle tie", "Whether identified handle ties join it to its neighbor.", found_at=_SITE))


class CircuitConductorSchema(Record):
    """The conductor of a circuit."""

    builds = proposal.CircuitConductor
    example = '{"size": "12 AWG", "material": "copper"}'

    size = Size(about("Conductor size", "The size of the circuit's conductors.", found_at=_CONDUCTOR))
    material = Word(
        about("Conductor material", "What the conductors are made of.", found_at=_CONDUCTOR),
        vocabulary.CONDUCTOR_MATERIALS,
    )
    insulation_temperature = Quantity(
        about("Insulation temperature", "The temperature rating of the insulation.", found_at=_CONDUCTOR),
        TEMPERATURE,
        ranges.INSULATION_TEMPERATURE,
    )
    extended_by = Quantity(
        about("Extended by", "How much longer the work makes the conductors.", found_at="a measurement on site"),
        LENGTH,
        ranges.EXTENSION,
    )


class CircuitSchema(Record):
    """One position, or several, of the panelboard and what it feeds."""

    builds = proposal.Circuit
    example = '{"number": 1, "poles": 1, "breaker": {"rating": "20 A"}}'

    number = Count(
        about("Circuit number", "The first position that it takes, unique among the circuits.", found_at=_DIRECTORY),
        ranges.CIRCUIT_NUMBER,
        1,
    )
    poles = Count(about("Poles", "How many poles its breaker has.", found_at=_BREAKER), ranges.POLES, 1)
    breaker = Nested(about("Breaker", "Its overcurrent device.", found_at=_BREAKER), BreakerSchema)
    conductor = Nested(about("Conductor", "Its conductors.", found_at=_CONDUCTOR), CircuitConductorSchema)
    load_ = PowerOrCurrent(
        about("Load of the circuit", "What it is expected to draw.", found_at="the load calculation, or nameplates"),
        EQUIPMENT_LOAD,
        ranges.LOADS,
    )
    serves = Text(
        about("Serves", "What the directory says that it serves.", found_at=_DIRECTORY),
        120,
        "kitchen countertop receptacles",
    )
    use = Word(about("Use", "The room or equipment that it is for.", found_at=_DIRECTORY), vocabulary.CIRCUIT_USES)
    outlet = Word(about("Outlet", "What kind of outlet it supplies.", found_at=_DIRECTORY), vocabulary.OUTLETS)
    outlets = Count(about("Outlets", "How many outlets it supplies.", found_at=_SITE), ranges.OUTLETS, 4)
    existing = Flag(about("Existing circuit", "Whether it was there before the work.", found_at=_SCOPE))
    equipment_replaced = Flag(
        about("Equipment replaced", "Whether the work replaces what it supplies.", found_at=_SCOPE)
    )
    outlets_added = Flag(about("Outlets added", "Whether the work adds outlets to it.", found_at=_SCOPE))
    extension_inside_enclosure = Flag(
        about("Extended inside the enclosure", "Whether the extension lies within the enclosure.", found_at=_SITE)
    )
    afci_at_first_outlet = Flag(
        about(
            "Arc-fault protection at the first outlet",
            "Whether an outlet device protects it from the first outlet on.",
            found_at=_SITE,
        )
    )
    neutral = Word(
        about("Neutral", "What its neutral is: insulated, the bare one of service cable, or none.", found_at=_SITE),
        vocabulary.CIRCUIT_NEUTRALS,
    )
    neutral_covered_in_panelboard = Flag(
        about("Bare neutral covered", "Whether a bare neutral is covered inside the panelboard.", found_at=_SITE)
    )
    multiwire_group = Text(
        about("Multiwire group", "A name that the circuits sharing one neutral have in common.", found_at=_SITE),
        64,
        "bedrooms",
    )
    wiring_method = Word(
        about(
            "Wiring method",
            "How the circuit is wired from here to its first outlet. Decides whether its grounding conductors need a "
            "terminal bar, and what the rules on arc-fault protection and on old three-wire circuits say.",
            found_at=_SITE,
        ),
        vocabulary.WIRING_METHODS,
    )
