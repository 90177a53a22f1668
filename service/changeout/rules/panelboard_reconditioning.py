"""A panelboard that is new, not reconditioned."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "panelboard-not-reconditioned",
    group="replacement",
    about="/panelboard/reconditioned",
    stage=Stage.INTAKE,
    needs=("/panelboard/reconditioned", "/panelboard/listed"),
    applies_to="every proposal",
)
def panelboard_reconditioning(case: Case, _limits: Limits) -> Answer:
    """The panelboard is not a reconditioned one.

    Because: nobody can show that a rebuilt panelboard still does what the maker's was tested to do.
    Passes: when it is declared not reconditioned.
    Fails: when it is declared reconditioned.
    Cannot tell: when it is not stated.
    Not covered: replacing the interior, or adding and replacing breakers within the listing; neither is reconditioning.
    """
    panelboard = case.panelboard
    cautions = _USED
    if panelboard.reconditioned.claim.holds:
        cautions = (*_NOT_THAT, *(_LISTED if panelboard.listed.claim.holds else ()))
    return decide(
        ~panelboard.reconditioned.claim,
        yes="the panelboard is declared not reconditioned",
        no="the panelboard is declared reconditioned",
        unknown="not stated: whether the panelboard is reconditioned",
        notes=Notes(
            rests_on=(panelboard.listed,),
            cautions=cautions if panelboard.reconditioned.stated else (),
            remedy="use a panelboard that was not reconditioned",
        ),
    )


_USED = (
    "A second-hand panelboard that was not reconditioned is not barred by this rule, but building codes commonly ask "
    "for the building official's approval of used equipment.",
)
_NOT_THAT = ("Replacing the interior is not reconditioning; rebuilding the old interior is.",)
_LISTED = (
    "It is also declared listed: the maker's listing does not outlast reconditioning unless the reconditioned "
    "panelboard was listed as such.",
)
