"""Breakers and fuses that are new, not reconditioned."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.proposal import Circuit, MainDevice
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable, under
from changeout.rules._registry import Limits, rule


@rule(
    "breakers-not-reconditioned",
    group="replacement",
    about="/panelboard/circuits",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/circuits/*/breaker/reconditioned",
        "/panelboard/main/reconditioned",
        "/panelboard/main/kind",
        "/panelboard/main/class",
        "/panelboard/second_main/kind",
        "/panelboard/second_main/class",
        "/panelboard/second_main/reconditioned",
    ),
    applies_to="every proposal; one answer for each circuit and each main",
)
def breaker_reconditioning(case: Case, _limits: Limits) -> Sequence[Answer]:
    """No molded-case breaker, and no fuse or fuseholder, is a reconditioned one.

    Because: a molded case cannot be opened and put together again as it was tested.
    Passes: when the device is declared not reconditioned.
    Fails: when it is declared reconditioned.
    Cannot tell: when it is not stated, or a reconditioned main may be a power breaker, which may be reconditioned
        (from memory).
    Not covered: the marking of a reconditioned power breaker.
    """
    panelboard = case.panelboard
    answers = [_main(panelboard.main, "main")]
    if panelboard.second_main is not None:
        answers.append(_main(panelboard.second_main, "second main"))
    if not panelboard.circuits.stated:
        answers.append(
            Answer(
                judgement=Judgement.UNKNOWN,
                message="Not stated: the circuits, and whether their breakers are reconditioned.",
                missing=panelboard.circuits.missing,
            )
        )
    answers.extend(_circuit(circuit) for circuit in panelboard.circuits)
    return answers


_REMEDY = "use a device that was not reconditioned"


def _circuit(circuit: Circuit) -> Answer:
    flag = circuit.breaker.reconditioned
    return decide(
        ~flag.claim,
        yes="the breaker is declared not reconditioned",
        no="the breaker is declared reconditioned",
        unknown="not stated: whether the breaker is reconditioned",
        notes=Notes(subject=circuit.at, remedy=_REMEDY),
    )


def _main(main: MainDevice, name: str) -> Answer:
    reconditioned, of_class = main.reconditioned.claim, main.device_class
    if of_class.value == "power" and not reconditioned.fails:
        return not_applicable(f"the {name} is a power breaker, which may be reconditioned", of_class, subject=main.at)
    lugs = main.kind.among("lugs")
    if of_class.value == "insulated-case" and reconditioned.holds and not lugs.holds:
        return advise(
            f"the {name} is a reconditioned insulated-case breaker: whether that counts as a molded-case one, which "
            "may not be reconditioned, is for the authority having jurisdiction",
            main.reconditioned,
            of_class,
            notes=Notes(subject=main.at, remedy=_REMEDY, advice=Advice.READING),
        )
    answer = decide(
        ~reconditioned | (main.kind.among("breaker") & of_class.among("power")),
        yes=f"the {name} is declared not reconditioned",
        no=f"the {name} is declared reconditioned",
        unknown=f"whether the {name} is reconditioned, or of a class that may be, is not stated",
        notes=Notes(subject=main.at, remedy=_REMEDY),
    )
    return under(~lugs, answer, otherwise=f"the {name} is lugs, no device")
