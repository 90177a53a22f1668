"""The replacement panelboard: ratings, mains, markings."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Count, DocumentRef, Flag, Quantity, VoltageRating, Word, about
from changeout.intake.quantity import CURRENT, TEMPERATURE
from changeout.intake.record import ListOf, Nested, Record
from changeout.intake.schemas.circuits import CircuitSchema

_PLATE = "the nameplate of the panelboard"
_DEVICE = "the marking of the main device"
_SITE = "a look on site"
_SERIES = "the label or table of the series combination"
_MOST_CIRCUITS = 200


class MainSchema(Record):
    """A main of the panelboard."""

    builds = proposal.MainDevice
    example = '{"kind": "breaker", "rating": "200 A", "interrupting_rating": "22 kA", "poles": 2}'

    kind = Word(about("Kind of main", "Breaker, fusible switch, or lugs only.", found_at=_PLATE), vocabulary.MAIN_KINDS)
    rating = Quantity(
        about("Rating of the main", "The rated or set current; of lugs, what they are rated for.", found_at=_DEVICE),
        CURRENT,
        ranges.CURRENT_RATING,
    )
    interrupting_rating = Quantity(
        about(
            "Interrupting rating of the main",
            "The fault current that it is rated to interrupt at the system's voltage.",
            found_at=_DEVICE,
        ),
        CURRENT,
        ranges.INTERRUPTING_RATING,
    )
    poles = Count(about("Poles of the main", "How many poles it has.", found_at=_DEVICE), ranges.POLES, 2)
    device_class = Word(
        about("Class of the main", "The make-up of the device.", found_at=_DEVICE),
        vocabulary.MAIN_CLASSES,
        data_key="class",
    )
    integral_fuses = Flag(
        about(
            "Fuses in the main", "Whether fuses are part of the breaker, as of some power breakers.", found_at=_DEVICE
        )
    )
    voltage_rating = VoltageRating(
        about("Voltage rating of the main", "As marked, straight or with a slash.", found_at=_DEVICE)
    )
    reconditioned = Flag(about("Main reconditioned", "Whether the device is a reconditioned one.", found_at=_DEVICE))
    hundred_percent_rated = Flag(
        about(
            "Main rated for 100 percent",
            "Whether device and assembly are listed for continuous operation at the full rating.",
            found_at=_DEVICE,
        )
    )
    ground_fault_protection = Flag(
        about("Ground-fault protection of equipment", "Whether the main has it.", found_at=_DEVICE)
    )
    arc_energy_reduction = Flag(
        about("Arc-energy reduction", "Whether the main has a means to reduce the energy of an arc.", found_at=_DEVICE)
    )


class SeriesRatingSchema(Record):
    """The series rating claimed for the panelboard."""

    builds = proposal.SeriesRating
    example = '{"basis": "tested", "combination_rating": "22 kA", "field_marked": true}'

    tested_combination_document = DocumentRef(
        about("Document of the combination", "The id of the document that shows the combination.", found_at=_SERIES),
        64,
        "d3",
    )
    field_marked = Flag(
        about("Series rating marked on site", "Whether the equipment is marked with its series rating.", found_at=_SITE)
    )
    combination_rating = Quantity(
        about("Rating of the combination", "The fault current that the combination is rated for.", found_at=_SERIES),
        CURRENT,
        ranges.INTERRUPTING_RATING,
    )
    basis = Word(
        about("Basis of the series rating", "Tested combination, or engineered for an existing one.", found_at=_SERIES),
        vocabulary.SERIES_BASES,
    )
    motor_full_load_current = Quantity(
        about(
            "Motors between the devices",
            "The full-load currents of the motors connected between the two devices, added.",
            found_at="the motors' nameplates",
        ),
        CURRENT,
        ranges.MOTOR_CURRENT,
    )
    upstream_interrupting_rating = Quantity(
        about(
            "Interrupting rating of the upstream device",
            "That of the line-side device of the combination.",
            found_at="the marking of that device",
        ),
        CURRENT,
        ranges.INTERRUPTING_RATING,
    )


class PanelboardSchema(Record):
    """The replacement panelboard."""

    builds = proposal.Panelboard
    example = '{"role": "service", "busbar_rating": "200 A", "short_circuit_rating": "10 kA"}'

    role = Word(
        about("Role", "Service equipment, or fed by a feeder.", found_at="the one-line diagram"),
        vocabulary.PANELBOARD_ROLES,
    )
    busbar_rating = Quantity(
        about("Busbar rating", "The current that the busbars are rated for.", found_at=_PLATE),
        CURRENT,
        ranges.CURRENT_RATING,
    )
    short_circuit_rating = Quantity(
        about(
            "Short-circuit current rating",
            "The fault current that the panelboard itself is marked for, symmetrical r.m.s.",
            found_at=_PLATE,
        ),
        CURRENT,
        ranges.INTERRUPTING_RATING,
    )
    listed = Flag(about("Panelboard listed", "Whether the panelboard carries a listing mark.", found_at=_PLATE))
    reconditioned = Flag(
        about("Panelboard reconditioned", "Whether the panelboard is a reconditioned one.", found_at=_PLATE)
    )
    identified_for_application = Flag(
        about(
            "Identified for the application",
            "Whether instructions, marking or approval name this use, in this enclosure.",
            found_at="the manufacturer's instructions",
        )
    )
    identification_basis = Word(
        about("Basis of the identification", "What identifies it.", found_at="the manufacturer's instructions"),
        vocabulary.IDENTIFICATION_BASES,
    )
    identification_document = DocumentRef(
        about(
            "Document of the identification",
            "The id of the document that identifies it.",
            found_at="the manufacturer's instructions",
        ),
        64,
        "d2",
    )
    rating_basis = Word(
        about(
            "Basis of the ratings",
            "fully-rated: every device alone covers the fault current. series: devices cover it together.",
            found_at="the short-circuit study, or the submittal",
        ),
        vocabulary.RATING_BASES,
    )
    series_rating = Nested(
        about("Series rating", "The series rating that is claimed.", found_at=_SERIES), SeriesRatingSchema
    )
    main = Nested(about("Main", "The main of the panelboard.", found_at=_DEVICE), MainSchema)
    second_main = Nested(
        about("Second main", "A second main of the panelboard. Left out: there is none.", found_at=_DEVICE),
        MainSchema,
        says_presence=True,
    )
    termination_temperature = Quantity(
        about("Termination temperature", "The temperature rating of the terminals.", found_at=_PLATE),
        TEMPERATURE,
        ranges.TERMINATION_TEMPERATURE,
    )
    marked_maximum_poles = Count(
        about("Marked maximum of poles", "How many overcurrent-device poles it is marked for.", found_at=_PLATE),
        ranges.MARKED_POLES,
        42,
    )
    circuits = ListOf(
        about("Circuits", "What the positions of the panelboard feed.", found_at="the circuit directory"),
        CircuitSchema,
        _MOST_CIRCUITS,
    )
    split_bus = Flag(
        about("Split bus", "Whether the busbars are split into parts with mains of their own.", found_at=_PLATE)
    )
    marked_service_suitable = Flag(
        about("Marked suitable as service equipment", "Whether it is so marked.", found_at=_PLATE)
    )
    marking_visible = Flag(
        about(
            "Marking visible", "Whether maker, voltage, current and phases can be read once installed.", found_at=_SITE
        )
    )
    source_marked = Flag(
        about("Source marked", "Whether the place of the supplying device is marked on it.", found_at=_SITE)
    )
    short_circuit_rating_field_marked = Flag(
        about("Short-circuit rating marked on site", "Whether the rating is marked on site.", found_at=_SITE)
    )
    reconditioning_marked = Flag(
        about(
            "Reconditioning marked",
            "Whether who reconditioned it, and when, is marked and the old listing mark is gone.",
            found_at=_PLATE,
        )
    )
    conductors_identified = Flag(
        about("Conductors identified", "Whether conductors are identified by phase and system.", found_at=_SITE)
    )
    emergency_circuits = Flag(
        about("Emergency circuits", "Whether it feeds emergency circuits.", found_at="the circuit directory")
    )
    orientation = Word(about("Orientation", "How it is mounted.", found_at=_SITE), vocabulary.ORIENTATIONS)
    high_leg_phase = Word(
        about("Phase of the high leg", "Where the leg with the higher voltage to ground is.", found_at="a measurement"),
        vocabulary.PHASES,
    )
    high_leg_marked = Flag(about("High leg marked", "Whether the high leg is marked orange or so.", found_at=_SITE))
    neutral_terminals = Count(
        about("Neutral terminals", "How many neutral conductors can be landed.", found_at=_PLATE), ranges.TERMINALS, 42
    )
    subfeed_lugs = Flag(
        about(
            "Subfeed lugs",
            "Whether lugs or a device on its busbars feed another panelboard. Decides what the rules on two mains and "
            "on other sources say.",
            found_at=_PLATE,
        )
    )
    feed_through_lugs = Flag(
        about(
            "Feed-through lugs",
            "Whether lugs at the far end of its busbars feed another panelboard. Decides what the rules on two mains "
            "and on other sources say.",
            found_at=_PLATE,
        )
    )
    center_fed = Flag(
        about(
            "Fed at its center",
            "Whether the supply comes in at the middle of its busbars. Decides which sums the rule on other sources "
            "allows.",
            found_at=_PLATE,
        )
    )
