"""How a standby generator is kept apart from the supply."""

from __future__ import annotations

from changeout.domain.facts import Claim, any_claim
from changeout.domain.findings import Answer, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under, words
from changeout.rules._registry import Limits, rule

_SIGN = "A sign at the service equipment says that there is a standby source and where it is: to be seen at inspection."


@rule(
    "standby-source-transfer",
    group="other-sources",
    about="/service/transfer_equipment",
    stage=Stage.INSPECTION,
    needs=("/generation", "/generation/*/kind", "/service/transfer_equipment"),
    applies_to="standby generators",
)
def standby_transfer(case: Case, _limits: Limits) -> Answer:
    """A standby generator is connected through transfer equipment or a listed interlock.

    Because: a breaker that a generator feeds back without an interlock can kill a line worker.
    Passes: when listed transfer equipment, or a listed interlock, is declared.
    Fails: when it is declared that there is none.
    Cannot tell: when nothing is said of it while a generator is declared, or there may be one.
    Not covered: the sign at the service, batteries that can run without the utility, and the neutral of a generator
        that is a system of its own.
    """
    sources = case.proposal.generation
    generator = any_claim(source.kind.among("generator") for source in sources)
    if not sources.stated:
        generator = Claim(Truth.UNKNOWN, sources.inputs, sources.missing)
    transfer = case.service.transfer_equipment
    return under(
        generator,
        decide(
            transfer.among("listed"),
            yes="the standby generator is connected through listed transfer equipment or a listed interlock",
            no="the standby generator is connected without transfer equipment or a listed interlock",
            unknown="not stated: whether the standby generator is connected through transfer equipment or a listed "
            "interlock",
            found=words("transfer equipment", transfer.value) if transfer.value is not None else None,
            required=words("transfer equipment", "listed", "="),
            notes=Notes(
                remedy="connect the generator through transfer equipment, or an interlock listed for this panelboard",
                cautions=(_SIGN,),
            ),
        ),
        otherwise="no standby generator is declared",
    )
