"""The circuit directory: what each position is said to serve."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from changeout.domain.facts import Claim
from changeout.domain.findings import Answer, Judgement, Stage
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, bare, decide, not_applicable
from changeout.rules._registry import Limits, rule

SPARES = frozenset({"spare", "spares", "space", "unused", "not used"})
"""Descriptions that several positions may share: a spare is a spare (common practice, no source)."""

SAYS_NOTHING = frozenset({"misc", "miscellaneous", "various", "other", "others", "general", "unknown", "stuff"})
"""Descriptions that tell nobody what a circuit serves (common practice, no source)."""


@rule(
    "circuit-directory-complete",
    group="markings",
    about="/panelboard/circuits",
    stage=Stage.INSPECTION,
    needs=("/panelboard/circuits", "/panelboard/circuits/*/number", "/panelboard/circuits/*/serves"),
    applies_to="every circuit of the panelboard",
    parameters={"places": "words"},
)
def circuit_directory(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """Every circuit has a description in the directory that is its own and says what it serves.

    Because: in an emergency somebody who has never seen the building must find the right breaker.
    Passes: when the circuit's description is stated and no other circuit has the same one; spares may share theirs.
    Fails: when the description is blank, says nothing, or is that of another circuit too.
    Cannot tell: when a circuit's description, or the list of circuits, is not stated.
    Not covered: whether the description is true, and whether it hangs on a person's name or a passing use, which are
        seen on site.
    """
    circuits = case.panelboard.circuits
    if not circuits.stated:
        return decide(
            Claim(Truth.UNKNOWN, circuits.inputs, circuits.missing),
            yes="every circuit is described",
            no="a circuit is not described",
            unknown="not stated: the circuits and what each serves",
        )
    if not len(circuits):
        return not_applicable("the panelboard has no circuits yet", circuits)
    alike = Counter(bare(c.serves.value) for c in circuits if c.serves.value is not None)
    answers = tuple(_described(circuit, alike, limits) for circuit in circuits)
    open_ = any(answer.judgement is Judgement.UNKNOWN for answer in answers)
    # A description that is not stated could be that of any other circuit: none is known to be its own.
    return tuple(a for a in answers if not (open_ and a.judgement is Judgement.HOLDS))


def _described(circuit: Circuit, alike: Counter[str], limits: Limits) -> Answer:
    which = f"circuit {circuit.number.value:g}" if circuit.number.value is not None else f"the circuit at {circuit.at}"
    said = circuit.serves.value
    plain = bare(said or "")
    good, no = Truth.UNKNOWN, ""
    if said is not None:
        good = Truth.NO
        if not plain:
            no = f"{which} has no description"
        elif plain in SAYS_NOTHING:
            no = f"the description of {which} does not say what it serves"
        elif alike[plain] > 1 and plain not in SPARES:
            no = f"{which} has the same description as another circuit"
        else:
            good = Truth.YES
    return decide(
        Claim(good, (*circuit.number.inputs, *circuit.serves.inputs), circuit.serves.missing),
        yes=f"{which} has a description of its own",
        no=no,
        unknown=f"not stated: what {which} serves",
        notes=Notes(
            subject=circuit.at,
            remedy="describe what the circuit serves, so that it can be told from every other one, in the directory on "
            f"the {_or(limits.words('places'))}",
        ),
    )


def _or(places: Sequence[str]) -> str:
    *first, last = places
    return f"{', '.join(first)} or {last}" if first else last
