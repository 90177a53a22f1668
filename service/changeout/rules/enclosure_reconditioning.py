"""A cabinet that is new or stays where it is, not a reconditioned one."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "enclosure-not-reconditioned",
    group="replacement",
    about="/enclosure/reconditioned",
    stage=Stage.INTAKE,
    needs=("/work/scope", "/enclosure/kind", "/enclosure/reconditioned"),
    applies_to="every proposal",
)
def enclosure_reconditioning(case: Case, _limits: Limits) -> Answer:
    """The cabinet is not a reconditioned one.

    Because: repainting, welding or patching a rusted box may be read as reconditioning, and nobody has tested it since.
    Passes: when it is declared not reconditioned, or an existing enclosure stays where it is and nobody declares it
        reconditioned: it counts as reused.
    Fails: when it is declared reconditioned.
    Cannot tell: when it is not stated of any other enclosure.
    """
    enclosure = case.enclosure
    flag = enclosure.reconditioned
    stays = case.work.scope.among("interior-only") & enclosure.kind.among("existing")
    if stays.holds and not flag.stated:
        return decide(
            stays,
            yes="the existing enclosure stays where it is and counts as reused, not as reconditioned",
            no="",
            notes=Notes(rests_on=(flag,), cautions=(f"Say so if the enclosure was rebuilt. {_ASK}",)),
        )
    return decide(
        ~flag.claim,
        yes="the enclosure is declared not reconditioned",
        no="the enclosure is declared reconditioned",
        unknown="not stated: whether the enclosure is reconditioned",
        notes=Notes(
            rests_on=(enclosure.kind,),
            cautions=(_ASK,) if flag.claim.holds else (),
            remedy="use an enclosure that was not reconditioned",
        ),
    )


_ASK = "Repainting or welding a rusted box may be read as reconditioning: ask the authority before relying on it."
