"""Whose rules apply, and what is proposed."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake.fields import Annotations, Day, Flag, Text, Word, Words, about
from changeout.intake.record import Record


class ProjectSchema(Record):
    """Whose rules apply: the edition, or the jurisdiction and the date that pick it."""

    builds = proposal.Project
    example = '{"edition": "2023", "occupancy": "one-family-dwelling"}'

    reference = Text(
        about(
            "Reference", "The sender's own name for the job. Echoed, never interpreted.", found_at="the sender's files"
        ),
        128,
        "HB-2041",
    )
    annotations = Annotations(
        about(
            "Annotations", "At most 20 short texts by name. Echoed, never interpreted.", found_at="the sender's files"
        )
    )
    edition = Word(
        about(
            "Edition of the code",
            "The edition to judge by. Without it, jurisdiction and applied_on choose one.",
            found_at="the permit office",
        ),
        vocabulary.EDITIONS,
    )
    jurisdiction = Text(
        about(
            "Jurisdiction",
            "The id of a local ruleset, which knows the edition in force on a date and local amendments.",
            found_at="the permit office; the list of jurisdictions of this service",
        ),
        64,
        "demo-harbor-county",
    )
    applied_on = Day(
        about(
            "Date of application",
            "The day the permit was or will be applied for. Decides the edition in force in a jurisdiction.",
            found_at="the permit application",
        )
    )
    permit_issued_on = Day(
        about(
            "Date of the permit",
            "The day the permit was issued. Decides the edition in force where an adoption counts by it, or where its "
            "days of grace end before it.",
            found_at="the permit",
        )
    )
    work_started_on = Day(
        about(
            "Start of the work",
            "The day the work began. Decides the edition in force where an adoption counts by it.",
            found_at="the job record",
        )
    )
    occupancy = Word(
        about(
            "Occupancy",
            "What the building, or the part that is served, is used for.",
            found_at="the permit application",
        ),
        vocabulary.OCCUPANCIES,
        required=True,
    )
    serves = Word(
        about(
            "What the panelboard serves", "The part of the building that it serves.", found_at="the circuit directory"
        ),
        vocabulary.PROJECT_SERVES,
    )


class WorkSchema(Record):
    """What is proposed, or was done."""

    builds = proposal.Work
    example = '{"scope": "interior-only"}'

    scope = Word(
        about(
            "Scope of the work",
            "interior-only: a replacement panelboard in the existing enclosure. interior-in-new-enclosure: a "
            "panelboard and a separate enclosure put together on site. enclosed-panelboard: the whole factory-built "
            "unit.",
            found_at="the scope of work",
        ),
        vocabulary.WORK_SCOPES,
        required=True,
    )
    status = Word(
        about("Status of the work", "Whether the work is still to be done.", found_at="the scope of work"),
        vocabulary.WORK_STATUSES,
        taken="proposed",
    )
    items = Words(
        about("What is replaced", "The equipment that the work replaces.", found_at="the scope of work"),
        vocabulary.WORK_ITEMS,
    )
    becomes_feeder = Flag(
        about(
            "Becomes a feeder panelboard",
            "Whether a service panelboard becomes a feeder panelboard by the work, with the service disconnect "
            "elsewhere.",
            found_at="the scope of work",
        )
    )
    isolation = Word(
        about(
            "Isolation for the work", "What takes the line side out of service for the work.", found_at="the work plan"
        ),
        vocabulary.ISOLATIONS,
    )
    temporary_power = Word(
        about("Temporary power", "Whether temporary power is planned for the work.", found_at="the work plan"),
        vocabulary.TEMPORARY_POWERS,
    )
