"""Every member of a proposal by its JSON Pointer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from changeout.domain.facts import Number, Text
from changeout.domain.member_values import MemberValues
from changeout.intake.fields import Flag, Member, Word, Words
from changeout.intake.pointers import join, split
from changeout.intake.record import ListOf, Nested, Record
from changeout.intake.schemas.proposal import PROPOSAL


def members() -> frozenset[str]:
    """Return the pointers of all members that are facts of the proposal as a whole, not of an entry of a list."""
    return frozenset(
        pointer for pointer, member in walk(PROPOSAL, "") if member.fact is not None and "*" not in split(pointer)
    )


def member_values() -> Mapping[str, MemberValues]:
    """Return what each of these members may be, for a condition over it."""
    found = members()
    return {pointer: _values(member) for pointer, member in walk(PROPOSAL, "") if pointer in found}


def _values(member: Member) -> MemberValues:
    texts = ("equals", "among", "stated")
    if isinstance(member, Words):
        return MemberValues(tests=texts, closed=member.one.words)
    if isinstance(member, Word):
        return MemberValues(tests=texts, closed=member.words)
    if isinstance(member, Flag):
        return MemberValues(tests=("equals", "stated"), closed=(True, False))
    if member.fact is Number:
        return MemberValues(tests=("at_least", "at_most", "stated"))
    return MemberValues(tests=texts if member.fact is Text else ("stated",))


def question(pointer: str) -> str:
    """Return the question for the member at *pointer*: what it is, what it means, where in the field it is found."""
    found = find(pointer)
    if not found:
        return f"What is to be said at {pointer}?"
    said = found[-1].metadata
    return f"{said['title']}? {said['description']} Where to find it: {said['found_at']}."


class MemberPath:
    """The way to one member, which lies in no list, within what was read."""

    def __init__(self, pointer: str) -> None:
        """Find the names that what was read has for *pointer*.

        Raises:
            KeyError: if there is no such member, or it lies in a list.
        """
        found = find(pointer)
        if not found or any(isinstance(member, ListOf) for member in found[:-1]):
            raise KeyError(pointer)
        self.pointer = pointer
        self._names = tuple(member.name_when_read for member in found)

    def of(self, read: Mapping[str, Any]) -> Any:  # noqa: ANN401
        """Return what was read there, None where nothing was."""
        found: Any = read
        for name in self._names:
            found = found.get(name)
            if found is None:
                return None
        return found


def walk(record: Record, pointer: str) -> Iterator[tuple[str, Member]]:
    """Yield every member below *pointer* with its own pointer, ``*`` standing for any index."""
    for name, member in record.members.items():
        at = join(pointer, name)
        yield at, member
        if isinstance(member, Nested):
            yield from walk(member.record, at)
        elif isinstance(member, ListOf):
            yield from walk(member.record, f"{at}/*")


def find(pointer: str) -> list[Member]:
    """Return the members on the way to *pointer*, itself last; nothing where there is no such member."""
    record: Record | None = PROPOSAL
    in_list = False
    found: list[Member] = []
    for token in split(pointer):
        if in_list:
            in_list = False
            continue
        member = record.members.get(token) if record is not None else None
        if member is None:
            return []
        found.append(member)
        record = member.record if isinstance(member, Nested | ListOf) else None
        in_list = isinstance(member, ListOf)
    return found
