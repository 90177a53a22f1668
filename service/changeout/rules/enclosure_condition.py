"""The condition of the enclosure that stays."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, arranged, decide, kind_caution, named, not_applicable, words
from changeout.rules._registry import Limits, rule


@rule(
    "existing-enclosure-sound",
    group="replacement",
    about="/enclosure/condition",
    stage=Stage.INTAKE,
    needs=(
        "/work/scope",
        "/enclosure/kind",
        "/enclosure/condition",
        "/enclosure/field_label/state",
        "/enclosure/field_label/document",
    ),
    applies_to="an interior replaced in the existing enclosure",
)
def enclosure_condition(case: Case, _limits: Limits) -> Answer:
    """The existing enclosure is sound, or the evaluation that labels the work covers its corrosion.

    Because: a rusted or bent box neither keeps water out nor holds back an arc.
    Passes: when it is declared sound, or corroded while the completed work is field labeled and the report is named.
    Fails: when it is damaged, or corroded without such a label.
    Cannot tell: when its condition is not stated, or a corroded one has a label whose report is not named.
    Not covered: dirt inside, which cleaning cures; see that the box is clean before the interior goes in.
    """
    if not case.work.scope.among("interior-only").holds:
        return not_applicable("the work leaves no existing enclosure in use", case.work.scope)
    condition, label = case.enclosure.condition, case.enclosure.field_label
    corroded = condition.value == "corroded"
    rust = ("Rust at the bottom of a box means that water got in: find the leak before fitting a new interior.",)
    if corroded and label.state.value == "arranged":
        return arranged(
            "the enclosure is corroded, and the field evaluation that could cover it is arranged and not yet done",
            "the field evaluation of the completed work covers the corrosion of the enclosure before the equipment is "
            "energized",
            condition,
            label.state,
            notes=Notes(remedy=_REMEDY, cautions=rust),
        )
    covered = label.state.among("applied") & named(label.document)
    return decide(
        condition.among("sound") | (condition.among("corroded") & covered),
        yes="the enclosure is corroded, and the completed work was field labeled"
        if corroded
        else "the existing enclosure is declared sound",
        no=f"the existing enclosure is {condition.value}",
        unknown="whether an evaluation of the completed work covers the corrosion of the enclosure is not shown"
        if corroded
        else "not stated: whether the existing enclosure is sound",
        found=words("condition of the enclosure", condition.value) if condition.value else None,
        notes=Notes(
            rests_on=(case.enclosure.kind,),
            documents=(label.document,) if corroded else (),
            cautions=(*(rust if corroded else ()), *_report(case)),
            remedy=_REMEDY,
        ),
    )


def _report(case: Case) -> tuple[str, ...]:
    label = case.enclosure.field_label
    if case.enclosure.condition.value != "corroded" or label.state.value != "applied":
        return ()
    return (_SEE, *kind_caution(label.document, "field-evaluation-report"))


_REMEDY = "repair or replace the enclosure, and submit photos of it emptied and cleaned"
_SEE = "See that the evaluation report speaks of the corrosion."
