"""Where the fault current of a supply comes from: its source, and a transformer on the premises."""

from __future__ import annotations

from typing import Final

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Day, DocumentRef, Quantity, Ratio, Text, Word, about
from changeout.intake.quantity import APPARENT_POWER, CURRENT
from changeout.intake.record import Kinds, ListOf, Nested, Record
from changeout.intake.schemas.runs import RunSchema

MOST_RUNS: Final = 20
"""How many runs of conductors a list of them may have."""

_PLATE = "the nameplate of the transformer"
_LETTER = "the letter of the utility or engineer"
_ONE_LINE = "the one-line diagram"


class UpstreamSchema(Record):
    """What lies before the transformer."""

    builds = proposal.Upstream
    example = '{"kind": "unlimited"}'

    kind = Word(
        about(
            "Kind of upstream",
            "unlimited: no impedance before the transformer, the safe side. short-circuit-power: a stated power.",
            found_at=_LETTER,
        ),
        vocabulary.UPSTREAM_KINDS,
    )
    value = Quantity(
        about(
            "Short-circuit power",
            "What the transformer sees at its primary; for a single-phase unit, the power of its own loop.",
            found_at=_LETTER,
        ),
        APPARENT_POWER,
        ranges.SHORT_CIRCUIT_POWER,
    )
    x_over_r = Ratio(
        about("X/R of the upstream", "Reactance over resistance before the transformer.", found_at=_LETTER),
        ranges.X_OVER_R,
        8,
    )


class SourceSchema(Record):
    """Where the fault current comes from: a transformer, or a stated value."""

    builds = proposal.Source
    example = '{"kind": "transformer", "rating": "50 kVA", "impedance_percent": 1.9}'
    kinds = Kinds(
        chosen_by="kind",
        members={
            "transformer": ("rating", "impedance_percent", "x_over_r", "upstream"),
            "stated": (
                "available_fault_current",
                "x_over_r",
                "fault_type",
                "line_to_neutral_fault_current",
                "stated_by",
                "dated",
                "document",
            ),
        },
    )

    kind = Word(
        about(
            "Kind of source",
            "transformer: its data are given and the fault current is computed. stated: somebody states the current.",
            found_at=_LETTER,
        ),
        vocabulary.SOURCE_KINDS,
    )
    bank = Word(
        about(
            "Bank of transformers",
            "How the source is made up: single-unit, one transformer for all phases; closed-delta-equal, three alike; "
            "open-delta, two; unequal-units, units of different size. The fault current of the last two cannot be "
            "computed from one rating: give it as a stated one. Decides what the fault current is, and with it every "
            "comparison with a rating. Left out: as computed from the rating, which of a bank is that of three alike.",
            found_at="a look at the pole or pad, or the letter of the utility",
        ),
        vocabulary.TRANSFORMER_BANKS,
    )
    rating = Quantity(
        about("Transformer rating", "The rated power; of a bank of three, all three together.", found_at=_PLATE),
        APPARENT_POWER,
        ranges.TRANSFORMER_RATING,
    )
    impedance_percent = Ratio(
        about("Transformer impedance", "The impedance in percent at the rating.", found_at=_PLATE),
        ranges.IMPEDANCE_PERCENT,
        1.9,
    )
    x_over_r = Ratio(
        about(
            "X/R of the source",
            "Reactance over resistance of the transformer, or of everything before the point of the stated current.",
            found_at=f"{_LETTER}, or the transformer's test report",
        ),
        ranges.X_OVER_R,
        1.6,
    )
    upstream = Nested(
        about("Upstream of the transformer", "What lies before the transformer.", found_at=_LETTER), UpstreamSchema
    )
    available_fault_current = Quantity(
        about(
            "Stated fault current",
            "The available fault current, symmetrical r.m.s., at the point where the runs begin.",
            found_at=_LETTER,
        ),
        CURRENT,
        ranges.FAULT_CURRENT,
    )
    fault_type = Word(
        about(
            "Fault type of the stated current",
            "Which fault the stated current is for; greatest: the greatest of all.",
            found_at=_LETTER,
        ),
        vocabulary.FAULT_TYPES,
    )
    line_to_neutral_fault_current = Quantity(
        about(
            "Stated line-to-neutral fault current",
            "The line-to-neutral fault current, where a letter states both.",
            found_at=_LETTER,
        ),
        CURRENT,
        ranges.FAULT_CURRENT,
    )
    stated_by = Text(about("Stated by", "Who states the fault current.", found_at=_LETTER), 64, "utility")
    dated = Day(about("Date of the statement", "The day of the letter or study.", found_at=_LETTER))
    document = DocumentRef(
        about("Document of the statement", "The id of the document that states it.", found_at=_LETTER), 64, "d1"
    )


class SeparatelyDerivedSchema(Record):
    """A transformer on the premises between source and panelboard. ``runs`` of the supply lie after it."""

    builds = proposal.SeparatelyDerived
    example = '{"rating": "75 kVA", "impedance_percent": 4.5, "primary_system": "480Y/277V-3ph-4w"}'

    rating = Quantity(
        about("Transformer rating", "The rated power.", found_at=_PLATE), APPARENT_POWER, ranges.TRANSFORMER_RATING
    )
    impedance_percent = Ratio(
        about("Transformer impedance", "The impedance in percent at the rating.", found_at=_PLATE),
        ranges.IMPEDANCE_PERCENT,
        4.5,
    )
    x_over_r = Ratio(
        about("X/R of the transformer", "Reactance over resistance.", found_at="the transformer's test report"),
        ranges.X_OVER_R,
        1.8,
    )
    primary_system = Word(
        about("Primary system", "The system that feeds the transformer; the source is at it.", found_at=_ONE_LINE),
        vocabulary.SYSTEMS,
    )
    primary_runs = ListOf(
        about("Primary runs", "The conductors between the source and the transformer, in order.", found_at=_ONE_LINE),
        RunSchema,
        MOST_RUNS,
    )
