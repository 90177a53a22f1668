"""The panelboard that was there before."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Flag, Quantity, Word, about
from changeout.intake.quantity import CURRENT
from changeout.intake.record import Record

_PLATE = "the nameplate of the former panelboard"


class FormerPanelboardSchema(Record):
    """The panelboard that was there before."""

    builds = proposal.FormerPanelboard
    example = '{"busbar_rating": "100 A", "main_rating": "100 A", "like_for_like": false}'

    high_leg_phase = Word(
        about(
            "Phase of its high leg",
            "Where the leg with the higher voltage to ground was. Decides, where an edition lets an old arrangement "
            "stay, whether the high leg may be elsewhere than on B.",
            found_at="a measurement before the work",
        ),
        vocabulary.PHASES,
    )
    busbar_rating = Quantity(
        about(
            "Its busbar rating",
            "The current that its busbars were rated for. Decides whether the work makes the panelboard larger, which "
            "the rule on the utility's side says.",
            found_at=_PLATE,
        ),
        CURRENT,
        ranges.CURRENT_RATING,
    )
    main_rating = Quantity(
        about(
            "Rating of its main",
            "The rated or set current. Decides whether the work makes the panelboard larger, which the rule on the "
            "utility's side says.",
            found_at=_PLATE,
        ),
        CURRENT,
        ranges.CURRENT_RATING,
    )
    like_for_like = Flag(
        about(
            "Like for like",
            "Whether the replacement has the ratings, poles and circuits of the former one. Told with the edition in "
            "force, since some places treat such work apart.",
            found_at="the scope of work",
        )
    )
    listed_enclosure = Flag(
        about(
            "It was listed in this enclosure",
            "Whether the former panelboard was listed for use in this very enclosure, so that its marks were there. "
            "Told with the rule on marks of the former panelboard.",
            found_at="the label in the enclosure",
        )
    )
