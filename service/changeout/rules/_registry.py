"""What makes a function a rule: the decorator, the parameters it may read, and its documentation.

A rule is a pure function ``(case, limits) -> Answer`` (or a sequence of answers, one a subject). Its docstring
is its documentation and must have the sections named in ``SECTIONS``.
"""

from __future__ import annotations

import datetime as dt
import inspect
from collections.abc import Callable, Mapping, Sequence
from typing import Final, cast

from changeout.domain.findings import Answer, Stage
from changeout.domain.proposal import Circuit
from changeout.domain.value import value
from changeout.rules._case import Case

SECTIONS: Final = ("Because", "Passes", "Fails", "Cannot tell", "Not covered")
REQUIRED_SECTIONS: Final = ("Because", "Passes", "Fails", "Cannot tell")

Parameter = float | bool | str | dt.date | tuple[str, ...] | tuple[float, ...]
KINDS: Final[Mapping[str, str]] = {
    "number": "a number with a unit, or a plain count",
    "flag": "true or false",
    "word": "a text",
    "words": "a list of texts",
    "numbers": "a list of numbers",
    "three numbers": "a list of three numbers, each with its own meaning",
    "day": "a date",
}


@value(frozen=True, slots=True)
class Limits:
    """The parameters of one edition's row, checked against what the rule declares when the edition was loaded."""

    values: Mapping[str, Parameter]

    def number(self, name: str) -> float:
        """Return a number, in the unit that ends its name."""
        value = self.values[name]
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise TypeError(f"parameter {name} is no number")
        return float(value)

    def flag(self, name: str) -> bool:
        """Return a yes or no."""
        value = self.values[name]
        if not isinstance(value, bool):
            raise TypeError(f"parameter {name} is no flag")
        return value

    def word(self, name: str) -> str:
        """Return a text."""
        value = self.values[name]
        if not isinstance(value, str):
            raise TypeError(f"parameter {name} is no text")
        return value

    def words(self, name: str) -> tuple[str, ...]:
        """Return a list of texts."""
        value = self.values[name]
        if not isinstance(value, tuple):
            raise TypeError(f"parameter {name} is no list")
        return cast("tuple[str, ...]", value)

    def numbers(self, name: str) -> tuple[float, ...]:
        """Return a list of numbers, in the unit that ends its name."""
        value = self.values[name]
        if not isinstance(value, tuple):
            raise TypeError(f"parameter {name} is no list")
        return cast("tuple[float, ...]", value)

    def day(self, name: str) -> dt.date | None:
        """Return a date, or None where the edition has none."""
        value = self.values.get(name)
        if value is not None and not isinstance(value, dt.date):
            raise TypeError(f"parameter {name} is no date")
        return value

    def optional_number(self, name: str) -> float | None:
        """Return a number, or None where the edition has none (or it was not seen)."""
        return self.number(name) if name in self.values else None


Check = Callable[[Case, Limits], Answer | Sequence[Answer]]
OfCircuit = Callable[[Case, Limits, Circuit], Answer]


@value(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rule as the rest of the project sees it.

    ``about`` is the JSON Pointer of the thing judged (an array for a rule that judges many). ``needs`` are the
    members it reads, or ``calculation:NAME``. ``parameters`` maps the name of a parameter to its kind; a kind
    that ends in ``?`` may be absent from a row. ``applies_to`` says in words when the rule is asked at all.
    ``circuits_together`` says of a case whether its circuits bear on one another's answers, in a rule that otherwise
    judges each circuit by itself. ``of_circuit`` is what such a rule says of one circuit, where it judges other things
    too: so that a trial of one circuit need not judge those again.
    """

    id: str
    group: str
    about: str
    stage: Stage
    needs: tuple[str, ...]
    parameters: Mapping[str, str]
    applies_to: str
    check: Check
    title: str
    sections: Mapping[str, str]
    circuits_together: Callable[[Case], bool] | None = None
    of_circuit: OfCircuit | None = None


_RULES: dict[str, Rule] = {}


def rule(  # noqa: PLR0913 - a declaration: each argument is a line of the rule's head
    rule_id: str,
    *,
    group: str,
    about: str,
    stage: Stage,
    needs: Sequence[str],
    applies_to: str,
    parameters: Mapping[str, str] | None = None,
    circuits_together: Callable[[Case], bool] | None = None,
    of_circuit: OfCircuit | None = None,
) -> Callable[[Check], Check]:
    """Register a function as the rule *rule_id*.

    Raises:
        ValueError: if the id is taken, a kind of parameter is unknown, or a section of the docstring is missing.
    """

    def register(check: Check) -> Check:
        if rule_id in _RULES:
            raise ValueError(f"two rules are called {rule_id}")
        kinds = dict(parameters or {})
        for name, kind in kinds.items():
            if kind.rstrip("?") not in KINDS:
                raise ValueError(f"{rule_id}: parameter {name} has the unknown kind {kind}")
        title, sections = _documentation(rule_id, inspect.getdoc(check) or "")
        _RULES[rule_id] = Rule(
            id=rule_id,
            group=group,
            about=about,
            stage=stage,
            needs=tuple(needs),
            parameters=kinds,
            applies_to=applies_to,
            circuits_together=circuits_together,
            of_circuit=of_circuit,
            check=check,
            title=title,
            sections=sections,
        )
        return check

    return register


def registered() -> Mapping[str, Rule]:
    """Return the rules of all modules imported so far."""
    return dict(_RULES)


def _documentation(rule_id: str, text: str) -> tuple[str, dict[str, str]]:
    title, _, rest = text.partition("\n")
    sections: dict[str, list[str]] = {}
    current: list[str] | None = None
    for line in rest.splitlines():
        name, colon, first = line.partition(": ")
        if colon and name in SECTIONS:
            current = sections.setdefault(name, [first.strip()])
        elif current is not None and line.strip():
            current.append(line.strip())
    missing = [s for s in REQUIRED_SECTIONS if s not in sections]
    if not title.strip() or missing:
        raise ValueError(f"{rule_id}: the docstring lacks {', '.join(missing) or 'a title'}")
    return title.strip().rstrip("."), {name: " ".join(lines) for name, lines in sections.items()}
