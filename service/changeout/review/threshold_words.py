"""A threshold as a sentence at the end of its question."""

from __future__ import annotations

import math
from typing import Final

from changeout.domain.findings import Outcome, Threshold
from changeout.review.members import Members

_DIGITS: Final = 4
_SPELLED: Final = {"degC": "°C", "degF": "°F", "ft2": "ft²", "in2": "in²"}
"""Units as people write them, where the interface spells them otherwise."""

_BECOMES: Final = {
    Outcome.SATISFIED: "It passes",
    Outcome.NOT_APPLICABLE: "It is not asked any more",
    Outcome.VIOLATION: "It fails",
}


def threshold_in_words(threshold: Threshold, pointer: str, members: Members) -> str:
    """Return the sentence, such as: It passes from 31 ft upward.

    The number is rounded to the side on which the answer holds.
    """
    up = threshold.relation == ">="
    shown = _rounded(members.written(pointer, threshold.value), up=up)
    if threshold.unit == "percent":
        shown += " %"
    becomes = _BECOMES.get(threshold.outcome, f"It is {threshold.outcome.value}")
    return f"{becomes} from {shown} upward." if up else f"{becomes} up to {shown}."


def _rounded(written: object, *, up: bool) -> str:
    number, _, unit = str(written).partition(" ")
    value = float(number)
    step = 10.0 ** (math.floor(math.log10(abs(value))) + 1 - _DIGITS) if value else 1.0
    count = round(value / step, 6)
    text = f"{(math.ceil(count) if up else math.floor(count)) * step:,.10g}"
    return f"{text} {_SPELLED.get(unit, unit)}" if unit else text
