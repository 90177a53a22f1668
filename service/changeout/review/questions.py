"""Which members are worth asking for, in what order, where the answer flips, and what settles each open finding.

The order: first the members that settle the most undetermined findings by themselves; among equals those that settle
the most together with few others; then those that touch the most; then those that a finding names first.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from changeout.domain.findings import Finding, Outcome, Question, Threshold
from changeout.review.members import Members
from changeout.review.settling import Settling
from changeout.review.threshold_words import threshold_in_words
from changeout.review.trial import Trials, circuit_index

_WEIGHT: Final = (Outcome.SATISFIED, Outcome.VIOLATION, Outcome.NOT_APPLICABLE)
_Sets = tuple[tuple[str, ...], ...]


@dataclass(slots=True)
class _Asked:
    """What is known of one missing member: the findings that miss it, and how many of them it settles."""

    place: int
    touched: int = 0
    alone: int = 0
    together: float = 0.0
    decides: list[Finding] = field(default_factory=list)
    settled: list[Finding] = field(default_factory=list)

    @property
    def order(self) -> tuple[float, float, float, int]:
        return (-self.alone, -self.together, -self.touched, self.place)


def with_questions(
    trials: Trials, findings: Sequence[Finding], members: Members
) -> tuple[list[Finding], tuple[Question, ...]]:
    """Return the findings with what settles each undetermined one, and a question for each member that one misses."""
    settling = Settling(trials, members)
    groups: dict[object, list[int]] = defaultdict(list)
    for index, finding in enumerate(findings):
        if finding.outcome is Outcome.UNDETERMINED:
            groups[_likeness(trials, finding)].append(index)
    told = list(findings)
    asked: dict[str, _Asked] = {}
    for group in groups.values():
        first = findings[group[0]]
        sets = settling.sets_for(first)
        for index in group:
            finding = findings[index]
            own = tuple(tuple(_moved(p, first, finding) for p in together) for together in sets)
            told[index] = replace(finding, settled_by=own)
            _note(asked, finding, own, is_first=finding is first)
    ordered = sorted(asked, key=lambda pointer: asked[pointer].order)
    kinds = {id(findings[index]): kind for kind, group in groups.items() for index in group}
    thresholds = _thresholds(settling, asked, kinds)
    return told, tuple(
        _question(pointer, asked[pointer], rank, thresholds[pointer], members)
        for rank, pointer in enumerate(ordered, 1)
    )


def _likeness(trials: Trials, finding: Finding) -> object:
    """Return what findings have in common that the same members settle, each in its own circuit."""
    circuit = trials.circuit_at(finding.subject)
    if circuit is None or not trials.takes_circuits_alike(finding.rule):
        return finding.rule, finding.missing, finding.found, finding.required
    elsewhere = tuple(p for p in finding.missing if not p.startswith(f"{circuit.at}/"))
    return trials.likeness(finding.rule, circuit), elsewhere


def _moved(pointer: str, first: Finding, finding: Finding) -> str:
    """Return a pointer into the first finding's circuit as one into another finding's circuit."""
    was, now = circuit_index(first.subject), circuit_index(finding.subject)
    if was is None or now is None or circuit_index(pointer) != was:
        return pointer
    parts = pointer.split("/")
    return "/".join((*parts[:3], str(now), *parts[4:]))


def _note(asked: dict[str, _Asked], finding: Finding, sets: _Sets, *, is_first: bool) -> None:
    for place, pointer in enumerate(finding.missing):
        member = asked.setdefault(pointer, _Asked(place))
        member.place = min(member.place, place)
        member.touched += 1
        member.decides.append(finding)
    for together in sets:
        for pointer in together:
            member = asked[pointer]
            if len(together) > 1:
                member.together += 1.0 / len(together)
                continue
            member.alone += 1
            # Findings alike in all but their circuit flip at the same value; only members of their circuit differ.
            if is_first or circuit_index(pointer) is not None:
                member.settled.append(finding)


def _thresholds(
    settling: Settling, asked: Mapping[str, _Asked], kinds: Mapping[int, object]
) -> dict[str, Threshold | None]:
    """Return the threshold of each member; once for those of circuits in which all that they settle is alike."""
    found: dict[str, Threshold | None] = {}
    once: dict[object, Threshold | None] = {}
    for pointer, member in asked.items():
        index = circuit_index(pointer)
        by_itself = index is not None and all(circuit_index(f.subject) == index for f in member.settled)
        own = pointer.split("/", 4)[-1] if by_itself else pointer
        alike = (own, tuple(kinds[id(finding)] for finding in member.settled))
        if alike not in once:
            once[alike] = _threshold(settling, pointer, member)
        found[pointer] = once[alike]
    return found


def _threshold(settling: Settling, pointer: str, member: _Asked) -> Threshold | None:
    """Return the value from which all pass that the member settles; else one from which a rule fails, or is not asked.

    Where the findings differ in the side that is good, the side of the first counts.
    """
    best: Threshold | None = None
    for finding in member.settled:
        if best is not None and best.outcome is Outcome.SATISFIED and settling.passes(finding, pointer, best.value):
            continue
        found = settling.threshold(finding, pointer)
        if found is not None and (best is None or _counts_more(found, best)):
            best = found
    return best


def _counts_more(found: Threshold, best: Threshold) -> bool:
    if found.outcome is not best.outcome:
        return _WEIGHT.index(found.outcome) < _WEIGHT.index(best.outcome)
    further = found.value > best.value if found.relation == ">=" else found.value < best.value
    return found.outcome is Outcome.SATISFIED and found.relation == best.relation and further


def _question(pointer: str, member: _Asked, rank: int, threshold: Threshold | None, members: Members) -> Question:
    ask = members.ask(pointer)
    return Question(
        pointer=pointer,
        ask=f"{ask} {threshold_in_words(threshold, pointer, members)}" if threshold else ask,
        decides=tuple(dict.fromkeys(f.rule for f in member.decides)),
        rank=rank,
        settles=member.alone,
        threshold=threshold,
    )
