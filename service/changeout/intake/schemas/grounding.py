"""Grounding and bonding at the panelboard."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Flag, Quantity, Size, Word, Words, about
from changeout.intake.quantity import RESISTANCE
from changeout.intake.record import Nested, Record

_SITE = "a look on site"


class ElectrodeConductorSchema(Record):
    """The grounding electrode conductor."""

    builds = proposal.GroundingConductor
    never_stated = ("kind",)
    example = '{"size": "4 AWG", "material": "copper"}'

    size = Size(about("Size of the grounding electrode conductor", "Its size.", found_at=_SITE))
    material = Word(
        about("Material of the grounding electrode conductor", "What it is made of.", found_at=_SITE),
        vocabulary.CONDUCTOR_MATERIALS,
    )


class MainBondingJumperSchema(Record):
    """What joins neutral and enclosure at the service."""

    builds = proposal.GroundingConductor
    example = '{"kind": "screw"}'

    kind = Word(
        about("Kind of main bonding jumper", "What it is; none: there is none.", found_at=_SITE),
        vocabulary.MAIN_BONDING_JUMPER_KINDS,
    )
    size = Size(about("Size of the main bonding jumper", "Its size, of a wire.", found_at=_SITE))
    material = Word(
        about("Material of the main bonding jumper", "What it is made of.", found_at=_SITE),
        vocabulary.CONDUCTOR_MATERIALS,
    )


class EquipmentGroundingConductorSchema(Record):
    """The equipment grounding conductor of the supply."""

    builds = proposal.GroundingConductor
    example = '{"size": "6 AWG", "material": "copper"}'

    kind = Word(
        about("Kind of equipment grounding conductor", "Wire or raceway; none: there is none.", found_at=_SITE),
        vocabulary.EQUIPMENT_GROUNDING_KINDS,
    )
    size = Size(about("Size of the equipment grounding conductor", "Its size, of a wire.", found_at=_SITE))
    material = Word(
        about("Material of the equipment grounding conductor", "What it is made of.", found_at=_SITE),
        vocabulary.CONDUCTOR_MATERIALS,
    )


class GroundingSchema(Record):
    """Grounding and bonding at the panelboard."""

    builds = proposal.Grounding
    example = '{"electrodes": ["ground-rod", "water-pipe"]}'

    electrode_conductor = Nested(
        about("Grounding electrode conductor", "The conductor to the electrodes.", found_at=_SITE),
        ElectrodeConductorSchema,
    )
    electrodes = Words(
        about("Electrodes", "The electrodes that are connected. An empty list: none.", found_at=_SITE),
        vocabulary.ELECTRODES,
    )
    electrodes_not_connected = Words(
        about("Electrodes not connected", "Electrodes that are present but not connected.", found_at=_SITE),
        vocabulary.ELECTRODES,
    )
    rod_resistance = Quantity(
        about("Resistance of the rod", "To earth, of a single rod, pipe or plate.", found_at="a measurement"),
        RESISTANCE,
        ranges.ELECTRODE_RESISTANCE,
    )
    main_bonding_jumper = Nested(
        about("Main bonding jumper", "What joins neutral and enclosure.", found_at=_SITE), MainBondingJumperSchema
    )
    equipment_grounding_conductor = Nested(
        about("Equipment grounding conductor", "That of the supply to the panelboard.", found_at=_SITE),
        EquipmentGroundingConductorSchema,
    )
    neutral_isolated = Flag(
        about("Neutral isolated", "Whether neutral and enclosure are kept apart in the panelboard.", found_at=_SITE)
    )
    intersystem_bonding = Flag(
        about("Intersystem bonding", "Whether there is a termination for other systems' bonding.", found_at=_SITE)
    )
    equipment_terminal_bar = Flag(
        about("Equipment grounding terminal bar", "Whether there is one, bonded to the cabinet.", found_at=_SITE)
    )
    piping_bonded = Flag(about("Metal piping bonded", "Whether metal piping is bonded.", found_at=_SITE))
