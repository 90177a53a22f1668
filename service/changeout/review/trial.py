"""What rules would say if one fact were another: the same code, with facts in their places changed.

Trials cost as much as the rules that they run, so three things keep them few. What was tried once is kept. A rule that
does not read what was changed answers as before. And where only one circuit was changed, a rule that judges each
circuit by itself is given that circuit alone, and its answer is kept for every circuit that is like it in all that
the rule reads.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Final

from changeout.domain.facts import Fact
from changeout.domain.findings import Answer, Outcome
from changeout.domain.proposal import Circuit, Proposal
from changeout.domain.walk import facts_of, with_fact
from changeout.review.calculations import fault_current_of, load_of
from changeout.review.outcomes import outcome_of
from changeout.review.ruleset import Ruleset
from changeout.rules._case import Case
from changeout.rules._registry import Rule

_CIRCUITS: Final = "/panelboard/circuits"
_MOVES_FAULT_CURRENT: Final = ("/supply/", "/project/occupancy", "/panelboard/busbar_rating")
_MOVES_LOAD: Final = ("/load/", "/supply/system")
_GRAVITY: Final = {outcome: place for place, outcome in enumerate(Outcome)}

Outcomes = Mapping[str, Outcome]
"""The outcome of each subject of a rule."""

_Said = tuple[tuple[str, object], ...]
"""What is said of a circuit: each member's name below the circuit, and its value."""

_Likeness = tuple[str, _Said]


class Trial:
    """A case with facts changed, and what each rule says of it."""

    def __init__(self, bench: Trials, case: Callable[[], Case], moved: frozenset[str], swap: _Swap | None) -> None:
        """Keep how the case is made, the rules that read what was changed, and the circuit if only one was."""
        self._bench = bench
        self._make = case
        self._swap = swap
        self._kept: dict[object, Outcomes] = {}
        self.moved = moved

    @cached_property
    def case(self) -> Case:
        """The case as changed."""
        return self._make()

    def outcome(self, rule_id: str, subject: str) -> Outcome:
        """Return what a rule says of a subject; of the whole, the gravest, where it no longer names the subject."""
        bench = self._bench
        if rule_id not in self.moved and self is not bench.as_it_is:
            return bench.as_it_is.outcome(rule_id, subject)
        found = self._part(rule_id, subject) if bench.judges_each_circuit(rule_id) else self.outcomes(rule_id)
        if subject not in found:
            found = self.outcomes(rule_id)
        if subject in found:
            return found[subject]
        return min(found.values(), key=_GRAVITY.__getitem__, default=Outcome.NOT_APPLICABLE)

    def outcomes(self, rule_id: str) -> Outcomes:
        """Return what a rule says of each subject."""
        bench = self._bench
        if rule_id not in self.moved and self is not bench.as_it_is:
            return bench.as_it_is.outcomes(rule_id)
        if self._swap is not None and bench.judges_each_circuit(rule_id):
            return {**bench.as_it_is.outcomes(rule_id), **self._swapped(rule_id, self._swap)}
        found = self._kept.get(rule_id)
        if found is None:
            swapped = None if self._swap is None else bench.likeness_of(rule_id, self._swap)
            found = self._kept[rule_id] = bench.said(rule_id, lambda: self.case, swapped)
        return found

    def _swapped(self, rule_id: str, swap: _Swap) -> Outcomes:
        bench = self._bench
        return bench.of_circuit_alone(rule_id, swap.now, lambda: bench.case, bench.like)

    def _part(self, rule_id: str, subject: str) -> Outcomes:
        """Return what a rule that judges each circuit by itself says of one circuit, or of what is no circuit."""
        if self._swap is not None:
            if self._bench.circuit_at(subject) is not self._swap.was:
                return self._bench.as_it_is.outcomes(rule_id)
            return self._swapped(rule_id, self._swap)
        circuit = circuit_in(self.case, subject)
        if circuit is not None:
            return self._bench.of_circuit_alone(rule_id, circuit, lambda: self.case, self._kept)
        found = self._kept.get((rule_id,))
        if found is None:
            found = self._kept[rule_id,] = self._bench.said(rule_id, lambda: with_circuits(self.case, ()))
        return found


@dataclass(frozen=True, slots=True)
class _Swap:
    """One circuit as it was, and as it is in a trial."""

    was: Circuit
    now: Circuit


class Trials:
    """A case under a ruleset, to be tried with facts changed."""

    def __init__(self, case: Case, ruleset: Ruleset) -> None:
        """Start from the case as it is."""
        self.case = case
        self.ruleset = ruleset
        self.as_it_is = Trial(self, lambda: case, frozenset(), None)
        ceilings = (condition.member for ceiling in ruleset.ceilings for condition in ceiling.when)
        self._moves_fault_current = (*_MOVES_FAULT_CURRENT, *ceilings)
        self._completed = case.work.status.value == "completed"
        self._kept: dict[tuple[Fact, ...], Trial] = {}
        self.like: dict[object, Outcomes] = {}
        self._said_of: dict[Circuit, _Said] = {}
        self._each: dict[str, bool] = {}

    def close(self) -> None:
        """Forget all trials. They refer to this in a circle, which else holds the case until garbage is looked for."""
        self._kept.clear()
        del self.as_it_is

    def with_facts(self, *facts: Fact) -> Trial:
        """Return the case with *facts* in their places; only the calculations that they move are made again."""
        found = self._kept.get(facts)
        if found is None:
            found = self._kept[facts] = self._tried(facts)
        return found

    def _tried(self, facts: tuple[Fact, ...]) -> Trial:
        moved = frozenset[str]().union(*(self.rules_moved_by(f.at) for f in facts))
        index = _circuit_of(facts)
        circuits = self.case.panelboard.circuits.items
        if index is None or index >= len(circuits):
            return Trial(self, lambda: self._changed(facts), moved, None)
        circuit = circuits[index]
        for fact in facts:
            circuit = with_fact(circuit, fact)
        changed = (*circuits[:index], circuit, *circuits[index + 1 :])
        return Trial(self, lambda: with_circuits(self.case, changed), moved, _Swap(circuits[index], circuit))

    def _changed(self, facts: tuple[Fact, ...]) -> Case:
        proposal: Proposal = self.case.proposal
        for fact in facts:
            proposal = with_fact(proposal, fact)
        case = replace(self.case, proposal=proposal)
        if any(f.at.startswith(self._moves_fault_current) for f in facts):
            case = replace(case, fault_current=fault_current_of(proposal, self.ruleset))
        if any(f.at.startswith(_MOVES_LOAD) for f in facts):
            case = replace(case, load_result=load_of(proposal, self.ruleset))
        return case

    def said(self, rule_id: str, case: Callable[[], Case], like: object = None) -> Outcomes:
        """Return what a rule says of each subject of a case; of several answers on one subject, the gravest.

        *like* stands for all cases in which the rule reads the same. Then what it says of other things than circuits
        is kept.
        """
        row, rule = self.ruleset.edition.rows[rule_id], self.ruleset.rules[rule_id]
        if not row.is_asked:
            return {rule.about: Outcome.NOT_APPLICABLE}
        if like is not None and like in self.like:
            return self.like[like]
        answers = rule.check(case(), self.ruleset.limits[rule_id])
        found = self._outcomes(rule, (answers,) if isinstance(answers, Answer) else answers)
        if like is not None and not any(subject.startswith(f"{_CIRCUITS}/") for subject in found):
            self.like[like] = found
        return found or {rule.about: Outcome.NOT_APPLICABLE}

    def of_circuit_alone(
        self, rule_id: str, circuit: Circuit, case: Callable[[], Case], kept: dict[object, Outcomes]
    ) -> Outcomes:
        """Return what a rule that judges each circuit by itself says of one in a case; those like it are in *kept*."""
        key = self.likeness(rule_id, circuit)
        like = kept.get(key)
        if like is None:
            found = self._said_of_circuit(rule_id, circuit, case)
            like = kept[key] = {_below(at, circuit.at): outcome for at, outcome in found.items()}
        return {_at(below, circuit.at): outcome for below, outcome in like.items()}

    def _said_of_circuit(self, rule_id: str, circuit: Circuit, case: Callable[[], Case]) -> Outcomes:
        rule = self.ruleset.rules[rule_id]
        if rule.of_circuit is None or not self.ruleset.edition.rows[rule_id].is_asked:
            return self.said(rule_id, lambda: with_circuits(case(), (circuit,)))
        return self._outcomes(rule, (rule.of_circuit(case(), self.ruleset.limits[rule_id], circuit),))

    def _outcomes(self, rule: Rule, answers: Iterable[Answer]) -> dict[str, Outcome]:
        row = self.ruleset.edition.rows[rule.id]
        found: dict[str, Outcome] = {}
        for answer in answers:
            subject = answer.subject or rule.about
            outcome = outcome_of(row, rule.stage, answer, completed=self._completed)[0]
            found[subject] = min(found.get(subject, outcome), outcome, key=_GRAVITY.__getitem__)
        return found

    def likeness(self, rule_id: str, circuit: Circuit) -> _Likeness:
        """Return all that a rule reads of a circuit, the same for circuits that are alike."""
        read = _read_of_circuit(self.ruleset.rules[rule_id].needs)
        said = self._said_of.get(circuit)
        if said is None:
            said = self._said_of[circuit] = _said_of(circuit)
        return rule_id, tuple([one for one in said if one[0] in read])

    def likeness_of(self, rule_id: str, swap: _Swap) -> object:
        """Return all that a rule reads of a circuit before and after."""
        return self.likeness(rule_id, swap.was), self.likeness(rule_id, swap.now)

    def circuit_at(self, pointer: str) -> Circuit | None:
        """Return the circuit that a pointer lies in, None where it lies in none."""
        return circuit_in(self.case, pointer)

    def judges_each_circuit(self, rule_id: str) -> bool:
        """Whether a rule judges circuits one by one, each by itself."""
        found = self._each.get(rule_id)
        if found is None:
            found = self._each[rule_id] = judges_each_circuit(self.ruleset.rules[rule_id], self.case)
        return found

    def takes_circuits_alike(self, rule_id: str) -> bool:
        """Whether a rule says the same of circuits that are alike in all that it reads of them."""
        return takes_circuits_alike(self.ruleset.rules[rule_id])

    def rules_moved_by(self, pointer: str) -> frozenset[str]:
        """Return the rules that read the member at *pointer*, themselves or through a calculation."""
        pattern = pattern_of(pointer)
        return frozenset(
            name for name, rule in self.ruleset.rules.items() if _moved(rule.needs, pattern, self._moves_fault_current)
        )


def takes_circuits_alike(rule: Rule) -> bool:
    """Whether a rule says the same of circuits that are alike in all that it reads of them.

    Such a rule is about the circuits and does not need the list of them: their order and number mean nothing to it.
    """
    return rule.about == _CIRCUITS and _CIRCUITS not in rule.needs


def judges_each_circuit(rule: Rule, case: Case) -> bool:
    """Whether a rule that takes circuits alike judges each of a case by itself, the others being of no account."""
    return takes_circuits_alike(rule) and not (rule.circuits_together and rule.circuits_together(case))


def pattern_of(pointer: str) -> str:
    """Return a pointer with ``*`` for each index."""
    return "/".join("*" if token.isdigit() else token for token in pointer.split("/"))


@lru_cache(maxsize=1 << 16)
def _moved(needs: tuple[str, ...], pattern: str, fault_current: tuple[str, ...]) -> bool:
    moving = {"calculation:fault-current": fault_current, "calculation:load": _MOVES_LOAD}
    return reads(needs, pattern) or any(pattern.startswith(moving[n]) for n in needs if n in moving)


def reads(needs: Sequence[str], pattern: str) -> bool:
    """Whether a rule of these *needs* reads the members of a pattern, a pointer with ``*`` for each index.

    It reads what it names, what lies above, and what lies below, unless it also names members that lie below.
    """
    below = (n for n in needs if pattern.startswith(f"{n}/"))
    return any(n == pattern or n.startswith(f"{pattern}/") for n in needs) or any(
        not any(m.startswith(f"{n}/") for m in needs) for n in below
    )


@lru_cache(maxsize=1 << 10)
def _read_of_circuit(needs: tuple[str, ...]) -> frozenset[str]:
    every = f"{_CIRCUITS}/*"
    return frozenset(n[len(every) :] for n in needs if n.startswith(every))


def with_circuits(case: Case, circuits: tuple[Circuit, ...]) -> Case:
    """Return the case with *circuits* as those of its panelboard."""
    panelboard = case.panelboard
    listed = replace(panelboard.circuits, items=circuits)
    return replace(case, proposal=replace(case.proposal, panelboard=replace(panelboard, circuits=listed)))


def circuit_in(case: Case, pointer: str) -> Circuit | None:
    """Return the circuit of a case that a pointer lies in, None where it lies in none."""
    index = circuit_index(pointer)
    circuits = case.panelboard.circuits.items
    return circuits[index] if index is not None and index < len(circuits) else None


def circuit_index(pointer: str) -> int | None:
    """Return the index of the circuit that a pointer lies in, None where it lies in none."""
    if not pointer.startswith(f"{_CIRCUITS}/"):
        return None
    index = pointer.split("/", 4)[3]
    return int(index) if index.isdigit() else None


def _circuit_of(facts: tuple[Fact, ...]) -> int | None:
    """Return the index of the circuit that all facts lie in, None where they do not all lie in one."""
    found = {circuit_index(f.at) for f in facts}
    return found.pop() if len(found) == 1 else None


def _said_of(circuit: Circuit) -> _Said:
    return tuple([(at[len(circuit.at) :], _value_of(fact)) for at, fact in facts_of(circuit).items()])


def _value_of(fact: Fact) -> object:
    return tuple([getattr(fact, name) for name in type(fact).__slots__])


def _below(subject: str, circuit: str) -> str:
    return f".{subject[len(circuit) :]}" if subject == circuit or subject.startswith(f"{circuit}/") else subject


def _at(below: str, circuit: str) -> str:
    return f"{circuit}{below[1:]}" if below.startswith(".") else below
