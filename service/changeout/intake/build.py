"""From what was read to the proposal that rules speak of. ``None`` stops here: what was not stated is a fact too.

How each object is built is planned once, when the module is loaded, from the types of the domain's classes and the
members of the interface. A class and its object that do not fit together fail there, not in a request.
"""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from changeout.domain import facts
from changeout.domain.proposal import Proposal
from changeout.domain.truth import Truth
from changeout.intake.fields import Member, Numeric, Quantity, Word
from changeout.intake.pointers import join
from changeout.intake.record import ListOf, Nested, Record
from changeout.intake.schemas.proposal import PROPOSAL

_Documents = Mapping[str, facts.Document]
_Maker = Callable[[str, Any, _Documents], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    """How one class is built: for each attribute, where it stands below the object, and what makes it."""

    builds: Callable[..., Any]
    parts: tuple[tuple[str, str, _Maker], ...]
    knows_place: bool
    knows_given: bool

    def make(self, at: str, read: Mapping[str, Any] | None, documents: _Documents) -> Any:  # noqa: ANN401
        """Return the object at *at*, of which nothing is stated where *read* is None."""
        get = ({} if read is None else read).get
        made = {attribute: make(at + below, get(attribute), documents) for attribute, below, make in self.parts}
        if self.knows_given:
            made["given"] = read is not None
        return self.builds(at=at, **made) if self.knows_place else self.builds(**made)


def build_proposal(read: Mapping[str, Any]) -> Proposal:
    """Return the proposal of what was read without a flaw."""
    listed = _DOCUMENTS("/documents", read.get("documents"), {})
    return typing.cast("Proposal", _PROPOSAL.make("", read, {document.id: document for document in listed}))


def _plan(record: Record) -> _Plan:
    builds = record.builds
    if builds is None or not dataclasses.is_dataclass(builds):
        raise TypeError(f"{type(record).__name__} builds nothing")
    hints = typing.get_type_hints(builds)
    knows_place = hints.pop("at", None) is not None
    knows_given = hints.pop("given", None) is not None
    parts = []
    for attribute, hint in hints.items():
        if attribute in record.never_stated:
            parts.append((attribute, f"/{attribute}", _LEAVES[hint](Word({}, ()))))
        else:
            name, member = record.by_name_when_read[attribute]
            parts.append((attribute, join("", name), _maker(member, hint)))
    return _Plan(builds=builds, parts=tuple(parts), knows_place=knows_place, knows_given=knows_given)


def _maker(member: Member, hint: Any) -> _Maker:  # noqa: ANN401
    if isinstance(member, Nested):
        may_be_none = isinstance(hint, types.UnionType)
        if may_be_none != member.says_presence:
            raise TypeError(f"{member.name}: the domain and the interface differ on what leaving it out means")
        return _object_maker(_plan(member.record), may_be_none)
    if isinstance(member, ListOf):
        return _list_maker(_plan(member.record), listed=typing.get_origin(hint) is facts.Listed)
    if hint is str:
        return _as_it_is
    if hint is not member.fact:
        raise TypeError(f"{member.name}: {hint} is not what the member becomes")
    return _LEAVES[hint](member)


def _object_maker(plan: _Plan, may_be_none: bool) -> _Maker:
    def make(at: str, value: Any, documents: _Documents) -> Any:  # noqa: ANN401
        return None if value is None and may_be_none else plan.make(at, value, documents)

    return make


def _list_maker(plan: _Plan, listed: bool) -> _Maker:
    def make(at: str, value: Any, documents: _Documents) -> Any:  # noqa: ANN401
        items = tuple(plan.make(f"{at}/{index}", item, documents) for index, item in enumerate(value or ()))
        return facts.Listed(at, items, value is not None) if listed else items

    return make


def _as_it_is(_at: str, value: Any, _documents: _Documents) -> Any:  # noqa: ANN401
    return value


def _number(member: Member) -> _Maker:
    if not isinstance(member, Numeric | Quantity):
        raise TypeError(f"{member.name} has no range")
    low, high = member.bounds.low, member.bounds.high

    def make(at: str, value: float | None, _documents: _Documents) -> facts.Number:
        return facts.Number(at, low, high) if value is None else facts.Number(at, value, value, value)

    return make


def _flag(_member: Member) -> _Maker:
    def make(at: str, value: bool | None, _documents: _Documents) -> facts.Flag:
        return facts.Flag(at, Truth.UNKNOWN if value is None else Truth.of(value))

    return make


def _choice(member: Member) -> _Maker:
    taken = member.taken if isinstance(member, Word) else None

    def make(at: str, value: str | None, _documents: _Documents) -> facts.Choice:
        return facts.Choice(at, taken if value is None else value)

    return make


def _of_one_value(fact: Callable[[str, Any], facts.Fact]) -> Callable[[Member], _Maker]:
    def maker(_member: Member) -> _Maker:
        return lambda at, value, _documents: fact(at, value)

    return maker


def _of_several_values(fact: Callable[..., facts.Fact]) -> Callable[[Member], _Maker]:
    def maker(_member: Member) -> _Maker:
        return lambda at, value, _documents: fact(at, None) if value is None else fact(at, *value)

    return maker


def _evidence(_member: Member) -> _Maker:
    def make(at: str, value: str | None, documents: _Documents) -> facts.Evidence:
        return facts.Evidence(at, None if value is None else documents[value])

    return make


_LEAVES: Final[Mapping[object, Callable[[Member], _Maker]]] = {
    facts.Number: _number,
    facts.Flag: _flag,
    facts.Choice: _choice,
    facts.Choices: _of_one_value(facts.Choices),
    facts.Text: _of_one_value(facts.Text),
    facts.Day: _of_one_value(facts.Day),
    facts.ConductorSize: _of_one_value(facts.ConductorSize),
    facts.VoltageRating: _of_several_values(facts.VoltageRating),
    facts.PowerOrCurrent: _of_several_values(facts.PowerOrCurrent),
    facts.Evidence: _evidence,
}

_PROPOSAL: Final = _plan(PROPOSAL)
_DOCUMENTS: Final = next(make for attribute, _below, make in _PROPOSAL.parts if attribute == "documents")
