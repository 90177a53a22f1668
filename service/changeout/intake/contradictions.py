"""Facts of a proposal that cannot both be true. Only what is certain stands here; what a rule judges does not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from changeout.intake.flaws import Flaw, FoundFlaw, Said
from changeout.intake.members import MemberPath

_WITHOUT_NEUTRAL: Final = ("240V-3ph-3w", "480V-3ph-3w")
_WITHOUT_THREE_PHASES: Final = ("120/240V-1ph-3w",)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pair:
    """Two members that exclude each other; ``second_is`` None stands for any value."""

    first: MemberPath
    first_is: object
    second: MemberPath
    second_is: object = None
    because: str

    def holds_in(self, read: Mapping[str, Any]) -> bool:
        second = self.second.of(read)
        if second is None or self.first.of(read) != self.first_is:
            return False
        return self.second_is is None or second == self.second_is


_SCOPE: Final = MemberPath("/work/scope")
_ENCLOSURE: Final = MemberPath("/enclosure/kind")
_UPSTREAM: Final = MemberPath("/supply/source/upstream/kind")
_SURGE: Final = MemberPath("/service/surge_protection/kind")

_PAIRS: Final = (
    _Pair(
        first=_SCOPE,
        first_is="interior-only",
        second=_ENCLOSURE,
        second_is="new",
        because="Scope interior-only keeps the enclosure: its kind is existing, or else the scope is "
        "interior-in-new-enclosure.",
    ),
    _Pair(
        first=_SCOPE,
        first_is="interior-in-new-enclosure",
        second=_ENCLOSURE,
        second_is="existing",
        because="Scope interior-in-new-enclosure brings an enclosure: its kind is new, or else the scope is "
        "interior-only.",
    ),
    _Pair(
        first=_UPSTREAM,
        first_is="unlimited",
        second=MemberPath("/supply/source/upstream/value"),
        because="An unlimited upstream has no short-circuit power: leave value out, or state the kind "
        "short-circuit-power.",
    ),
    _Pair(
        first=MemberPath("/supply/conductors_upsized"),
        first_is=False,
        second=MemberPath("/supply/upsized_from"),
        because="Conductors that were not made larger have no size before: leave upsized_from out, or state "
        "conductors_upsized true.",
    ),
    *(
        _Pair(
            first=MemberPath("/supply/tap"),
            first_is=False,
            second=MemberPath("/supply/tap_rule"),
            second_is=rule,
            because=f"Conductors that are no tap claim no rule for taps: leave {rule} out, or state tap true.",
        )
        for rule in ("ten-foot", "twenty-five-foot", "outside")
    ),
    _Pair(
        first=MemberPath("/enclosure/mounting"),
        first_is="flush",
        second=MemberPath("/enclosure/air_space"),
        because="An enclosure let into the wall has no air space behind it: leave air_space out, or state the mounting "
        "surface.",
    ),
    *(
        _Pair(
            first=MemberPath("/supply/source/bank"),
            first_is=bank,
            second=MemberPath("/supply/source/rating"),
            because=f"A bank of kind {bank} has no one rating to compute from: leave rating out and give the fault "
            "current of the utility's letter with source kind stated, or state the kind of bank that it is.",
        )
        for bank in ("open-delta", "unequal-units")
    ),
    *(
        _Pair(
            first=MemberPath(f"/panelboard/{main}/kind"),
            first_is="breaker",
            second=MemberPath(f"/panelboard/{main}/class"),
            second_is="fuse",
            because="A breaker is not of class fuse: state the kind fusible, or a class such as molded-case.",
        )
        for main in ("main", "second_main")
    ),
    *(
        _Pair(
            first=MemberPath(f"/grounding/{conductor}/kind"),
            first_is="none",
            second=MemberPath(f"/grounding/{conductor}/size"),
            because="A conductor that is not there has no size: leave size out, or state a kind such as wire.",
        )
        for conductor in ("main_bonding_jumper", "equipment_grounding_conductor")
    ),
    _Pair(
        first=_SURGE,
        first_is="none",
        second=MemberPath("/service/surge_protection/nominal_discharge_current"),
        because="A device that is not there has no rating: leave nominal_discharge_current out, or state a kind such "
        "as type-2.",
    ),
)

_SYSTEM: Final = MemberPath("/supply/system")
_TRANSFORMER: Final = MemberPath("/supply/separately_derived")
_PRIMARY: Final = MemberPath("/supply/separately_derived/primary_system")
_FAULT_TYPE: Final = MemberPath("/supply/source/fault_type")
_FAULT: Final = MemberPath("/supply/source/available_fault_current")
_NEUTRAL_FAULT: Final = MemberPath("/supply/source/line_to_neutral_fault_current")


def contradictions(read: Mapping[str, Any]) -> Iterator[FoundFlaw]:
    """Yield every pair of members in what was read that cannot both be true."""
    for pair in _PAIRS:
        if pair.holds_in(read):
            yield _found(pair.first, pair.second, pair.because)
    yield from _faults_of_other_systems(read)
    yield from _unlike_faults(read)


def _found(first: MemberPath, second: MemberPath, because: str) -> FoundFlaw:
    return FoundFlaw(pointer=second.pointer, flaw=Flaw("contradiction", Said(because)), also=(first.pointer,))


def _faults_of_other_systems(read: Mapping[str, Any]) -> Iterator[FoundFlaw]:
    """The source stands at the primary system where there is a transformer on the premises, else at the system."""
    at = _SYSTEM if _TRANSFORMER.of(read) is None else _PRIMARY
    system, fault_type = at.of(read), _FAULT_TYPE.of(read)
    if system in _WITHOUT_NEUTRAL:
        because = f"The system {system} has no neutral: state a fault type such as three-phase."
        if fault_type == "line-to-neutral":
            yield _found(at, _FAULT_TYPE, because)
        if _NEUTRAL_FAULT.of(read) is not None:
            yield _found(at, _NEUTRAL_FAULT, because)
    if system in _WITHOUT_THREE_PHASES and fault_type == "three-phase":
        yield _found(at, _FAULT_TYPE, f"The system {system} has one phase: state a fault type such as line-to-line.")


def _unlike_faults(read: Mapping[str, Any]) -> Iterator[FoundFlaw]:
    """One current is stated as the greatest, or as line to neutral, and another one to neutral beside it."""
    fault, neutral, fault_type = _FAULT.of(read), _NEUTRAL_FAULT.of(read), _FAULT_TYPE.of(read)
    if not isinstance(fault, float) or not isinstance(neutral, float):
        return
    if (fault_type == "greatest" and neutral > fault) or (fault_type == "line-to-neutral" and neutral != fault):
        because = (
            f"With fault_type {fault_type}, the two currents cannot differ like this: state what the letter says, "
            "such as fault_type line-to-line."
        )
        yield _found(_FAULT, _NEUTRAL_FAULT, because)
