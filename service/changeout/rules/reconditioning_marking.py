"""The marking of reconditioned equipment, where reconditioning is allowed."""

from __future__ import annotations

from changeout.domain.facts import any_claim
from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, not_applicable, under
from changeout.rules._registry import Limits, rule


@rule(
    "reconditioned-equipment-marked",
    group="replacement",
    about="/panelboard/reconditioning_marked",
    stage=Stage.INSPECTION,
    needs=("/panelboard/reconditioned", "/enclosure/reconditioned", "/panelboard/reconditioning_marked"),
    applies_to="a panelboard or enclosure that is reconditioned and may be",
    parameters={"barred": "words", "listing_mark_off": "flag"},
)
def reconditioning_marking(case: Case, limits: Limits) -> Answer:
    """Reconditioned equipment says who did it and when, and, where the edition asks, its old listing mark is off.

    Because: whoever works on it later must know that the maker's tests no longer stand behind it.
    Passes: when it is declared marked so.
    Fails: when it is reconditioned, where that is allowed, and declared not marked.
    Cannot tell: when the marking is not stated, or whether anything is reconditioned.
    Not covered: equipment that may not be reconditioned at all, and the marking of breakers.
    """
    barred = limits.words("barred")
    flags = {"panelboard": case.panelboard.reconditioned, "enclosure": case.enclosure.reconditioned}
    allowed = {name: flag for name, flag in flags.items() if name not in barred}
    if not allowed:
        return not_applicable("neither panelboard nor enclosure may be reconditioned, so no marking makes it right")
    what = " and ".join(allowed)
    off = limits.flag("listing_mark_off")
    how = "who reconditioned it and when" + (", its old listing mark removed" if off else "")
    answer = decide(
        case.panelboard.reconditioning_marked.claim,
        yes=f"the reconditioned equipment is marked with {how}",
        no=f"the reconditioned equipment is not marked with {how}",
        unknown="not stated: whether the reconditioned equipment is marked with who did it and when",
        notes=Notes(
            cautions=("The maker's listing does not outlast reconditioning.",)
            if case.panelboard.listed.claim.holds and case.panelboard.reconditioned.claim.holds
            else (),
            remedy="have the firm that reconditioned it mark it with its name and the date"
            + (" and remove the old listing mark" if off else "")
            + ", and submit a photo",
        ),
    )
    return under(
        any_claim(flag.claim for flag in allowed.values()),
        answer,
        otherwise=f"nothing that may be reconditioned ({what}) is declared so",
    )
