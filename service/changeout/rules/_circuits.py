"""Which circuits follow other articles, and what breaker branch conductors permit."""

from __future__ import annotations

from typing import Final

from changeout.domain.facts import Claim, Measurement
from changeout.domain.proposal import Circuit
from changeout.domain.value import value
from changeout.electrical.ampacity import ampacity_as_installed
from changeout.electrical.installation import conductors_of_circuit
from changeout.electrical.overcurrent import greatest_device
from changeout.rules._case import Case
from changeout.rules._compare import reaches, within
from changeout.rules._supply import TerminalsFor
from changeout.tables.overcurrent import lasting_standard_ratings

SMALL_SIZES: Final = ("14 AWG", "12 AWG", "10 AWG")
"""Sizes that have a fixed overcurrent limit. Source: 240.4(D), wire suppliers' notes."""

_OTHER_ARTICLES: Final = ("pool", "sump", "other")


def follows_other_article(circuit: Circuit) -> Claim:
    """Return the claim that the circuit may be one of a motor, air conditioner or welder.

    Their breakers are sized by articles of their own, and may be larger than the conductors' ampacity. Heating and
    cooling circuits are taken as such, and circuits to equipment of a pool, a sump or no named use: the list of uses
    has no word for motors and welders.

    Source: 240.4(G), from memory.
    """
    return circuit.use.among("hvac") | (circuit.use.among(*_OTHER_ARTICLES) & circuit.outlet.among("equipment"))


def is_small(circuit: Circuit) -> bool:
    """Whether the conductor is known to have a fixed overcurrent limit."""
    return circuit.conductor.size.value in SMALL_SIZES


@value(frozen=True, slots=True, kw_only=True)
class BranchProtection:
    """A breaker against its conductors: their ampacity, the next standard rating, and which of them may count.

    ``several`` is the claim that the circuit has two or more receptacle outlets, so that nothing is rounded up.
    """

    ampacity: Measurement
    rounded: Measurement
    several: Claim
    at_ampacity: Claim
    claim: Claim


def branch_protection(case: Case, circuit: Circuit, round_up_to_a: float, at_ends: TerminalsFor) -> BranchProtection:
    """Return how a circuit's breaker protects its conductors, which end in the terminals of *at_ends*.

    Source: 240.4(B).
    """
    rating = circuit.breaker.rating_a
    ampacity = ampacity_as_installed(conductors_of_circuit(circuit.conductor), at_ends(case, rating))
    rounded = greatest_device(ampacity, lasting_standard_ratings(), round_up_to_a)
    several = circuit.outlet.among("receptacle") & reaches(circuit.outlets, 2)
    at_ampacity = within(rating, ampacity)
    return BranchProtection(
        ampacity=ampacity,
        rounded=rounded,
        several=several,
        at_ampacity=at_ampacity,
        claim=at_ampacity | (within(rating, rounded) & ~several),
    )
