"""Single calculations, by the very code that the rules use."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from changeout.domain.calculation import Calculation
from changeout.domain.proposal import Proposal
from changeout.render.report_json import calculation_object
from changeout.review.calculations import case_of
from changeout.review.conductors import ampacity_of, busbar_of, sizes_of
from changeout.review.ruleset import Ruleset
from changeout.rules._case import Adoption, Case


def _fault_current(case: Case, _: Ruleset) -> Calculation:
    return case.fault_current.calculation()


def _load(case: Case, _: Ruleset) -> Calculation:
    return case.load_result.calculation()


CALCULATIONS: Final[Mapping[str, Callable[[Case, Ruleset], Calculation]]] = {
    "fault-current": _fault_current,
    "load": _load,
    "ampacity": ampacity_of,
    "conductor-sizes": sizes_of,
    "busbar": busbar_of,
}


def calculate(kind: str, proposal: Proposal, ruleset: Ruleset, adoption: Adoption) -> dict[str, Any]:
    """Return a calculation with its steps, JSON-ready.

    Raises:
        KeyError: if no calculation is called *kind*.
    """
    made = CALCULATIONS[kind](case_of(proposal, ruleset, adoption), ruleset)
    return {"edition": ruleset.edition.name, "ruleset": ruleset.digest, **calculation_object(made)}
