"""What would settle an undetermined finding: which members, alone or together, and at which value the answer flips."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations, islice, product
from typing import Final

from changeout.domain.facts import Fact, Number
from changeout.domain.findings import Finding, Outcome, Threshold
from changeout.domain.walk import fact_at
from changeout.review.answers import is_count, points_of, possible_answers, stated
from changeout.review.members import Members
from changeout.review.trial import Trial, Trials

GOOD: Final = frozenset({Outcome.SATISFIED, Outcome.NOT_APPLICABLE})
_BAD: Final = frozenset({Outcome.VIOLATION})

MOST_MEMBERS: Final = 12
"""Of how many members that a finding misses answers are tried, those it names first."""

MOST_TOGETHER: Final = 4
"""How many members a set may have that is shown."""

_MOST_SETS: Final = 6
_PAIR: Final = 2
_IN_PAIRS: Final = 4
_IN_A_PAIR: Final = 60
"""Pairs are tried one by one where none was found: of how many members, and how many answers of each pair."""

_ROUNDS: Final = 4
_DIGITS: Final = 4
"""Significant digits of a threshold, rounded to the side on which the answer holds."""

_CLOSE: Final = 0.5 * 10.0**-_DIGITS
_MOST_HALVINGS: Final = 60


class Settling:
    """The missing members of a proposal and the trials with their possible answers."""

    def __init__(self, trials: Trials, members: Members) -> None:
        """Start with nothing tried."""
        self._trials = trials
        self._members = members
        self._answers: dict[str, tuple[Fact, ...]] = {}

    def answers(self, pointer: str) -> tuple[Fact, ...]:
        """Return possible answers to a missing member; none for a text or a date."""
        found = self._answers.get(pointer)
        if found is None:
            fact = fact_at(self._trials.case.proposal, pointer)
            found = () if fact is None else tuple(possible_answers(fact, self._members))
            self._answers[pointer] = found
        return found

    def sets_for(self, finding: Finding) -> tuple[tuple[str, ...], ...]:
        """Return the smallest sets of missing members that can make an undetermined finding definite.

        Members that can do so alone, where there are such: every one of them. Else sets of several, found by stating
        all that is missing and leaving out again whatever is not needed, and pairs of the members named first; each is
        as small as it can be. Of what settles a finding only with values that were not tried nothing is said.
        """
        missing = [p for p in finding.missing[:MOST_MEMBERS] if self.answers(p)]
        alone = tuple((p,) for p in missing if self._settles(finding, p))
        return alone or self._together(finding, missing)

    def _settles(self, finding: Finding, pointer: str) -> bool:
        return any(
            _is_definite(self._trials.with_facts(answer), finding) for answer in _ends_first(self.answers(pointer))
        )

    def _together(self, finding: Finding, missing: Sequence[str]) -> tuple[tuple[str, ...], ...]:
        found: dict[tuple[str, ...], None] = {}
        for turn in range(_ROUNDS):
            chosen = {p: _picked(self.answers(p), turn, place) for place, p in enumerate(missing)}
            if not _is_definite(self._trials.with_facts(*chosen.values()), finding):
                continue
            for pointer in missing if turn % 2 else reversed(missing):
                fewer = {p: answer for p, answer in chosen.items() if p != pointer}
                if _is_definite(self._trials.with_facts(*fewer.values()), finding):
                    chosen = fewer
            found[tuple(chosen)] = None
        least = min(map(len, found), default=0)
        smallest = [together for together in found if len(together) == least <= MOST_TOGETHER]
        if least != _PAIR:
            smallest = [
                pair for pair in combinations(missing[:_IN_PAIRS], _PAIR) if self._pair(finding, pair)
            ] or smallest
        return tuple(sorted(smallest, key=lambda together: [missing.index(p) for p in together]))[:_MOST_SETS]

    def _pair(self, finding: Finding, pair: tuple[str, ...]) -> bool:
        tried = islice(product(*(self.answers(p) for p in pair)), _IN_A_PAIR)
        return any(_is_definite(self._trials.with_facts(*answers), finding) for answers in tried)

    def threshold(self, finding: Finding, pointer: str) -> Threshold | None:
        """Return the value of a member at which a finding flips, all else as it is; None where no single value does.

        Found on the rule itself: the range is sampled, then halved. What is returned is rounded to the side on
        which the answer holds, and tried once more. Where the answer flips only at an end of the range there is none.
        """
        fact = fact_at(self._trials.case.proposal, pointer)
        if not isinstance(fact, Number):
            return None

        def outcome(value: float) -> Outcome:
            return self._outcome(finding, fact, value)

        whole = is_count(fact, self._members)
        values = points_of(fact, whole=whole)
        outcomes = [outcome(value) for value in values]
        for wanted in (GOOD, _BAD):
            edge = _Edge(outcome, wanted, whole).of(values, outcomes)
            if edge is not None:
                return Threshold(
                    relation=edge[0],
                    value=edge[1],
                    unit=self._members.unit(pointer),
                    outcome=outcome(edge[1]),
                    rule=finding.rule,
                )
        return None

    def passes(self, finding: Finding, pointer: str, value: float) -> bool:
        """Whether a finding is satisfied, or not asked, with *value* in the place of a missing number."""
        fact = fact_at(self._trials.case.proposal, pointer)
        return isinstance(fact, Number) and self._outcome(finding, fact, value) in GOOD

    def _outcome(self, finding: Finding, fact: Number, value: float) -> Outcome:
        return self._trials.with_facts(stated(fact, value)).outcome(finding.rule, finding.subject)


def _is_definite(trial: Trial, finding: Finding) -> bool:
    return trial.outcome(finding.rule, finding.subject) is not Outcome.UNDETERMINED


def _ends_first(answers: Sequence[Fact]) -> Sequence[Fact]:
    return (*answers[-1:], *answers[:-1])


def _picked(answers: Sequence[Fact], turn: int, place: int) -> Fact:
    """Return one of the answers: first the last of each, then the first of each, then some in between, mixed."""
    if turn < 2:
        return answers[turn - 1]
    return answers[(turn * 5 + place * 3) % len(answers)]


@dataclass(frozen=True, slots=True)
class _Edge:
    """Where wanted outcomes begin over a range, or end."""

    outcome: Callable[[float], Outcome]
    wanted: frozenset[Outcome]
    whole: bool

    def test(self, value: float) -> bool:
        return self.outcome(value) in self.wanted

    def of(self, values: Sequence[float], outcomes: Sequence[Outcome]) -> tuple[str, float] | None:
        """Return relation and value of the one edge between sampled values; None where there is none, or several."""
        hits = [outcome in self.wanted for outcome in outcomes]
        changes = [i for i in range(len(hits) - 1) if hits[i] != hits[i + 1]]
        if len(changes) != 1:
            return None
        rises = hits[-1]
        low, high = values[changes[0]], values[changes[0] + 1]
        found = self._between(low, high, rises=rises)
        return None if found == values[-1 if rises else 0] else (">=" if rises else "<=", found)

    def _between(self, low: float, high: float, *, rises: bool) -> float:
        for _ in range(_MOST_HALVINGS):
            if high - low <= (1.0 if self.whole else _CLOSE * high):
                break
            middle = self._middle(low, high)
            if self.test(middle) == rises:
                high = middle
            else:
                low = middle
        exact = high if rises else low
        return exact if self.whole else next((r for r in _rounded(exact, up=rises) if self.test(r)), exact)

    def _middle(self, low: float, high: float) -> float:
        if self.whole:
            return float((low + high) // 2)
        if low > 0:
            return math.sqrt(low * high)
        return high / 2 if high > 1 else (low + high) / 2


def _rounded(value: float, *, up: bool) -> tuple[float, float]:
    """Return the nearest number of a few digits, and the nearest on the good side."""
    if value == 0:
        return 0.0, 0.0
    step = 10.0 ** (math.floor(math.log10(abs(value))) + 1 - _DIGITS)
    count = value / step
    nearest, safe = (round(n * step, 12) for n in (round(count), math.ceil(count) if up else math.floor(count)))
    return nearest, safe
