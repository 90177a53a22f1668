"""Find a fact of a proposal by its JSON Pointer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from changeout.domain.facts import Fact, Listed
from changeout.domain.proposal import Proposal

T = TypeVar("T")


def facts_of(part: object) -> dict[str, Fact]:
    """Return every fact of a proposal, or of an object of one, by its pointer, those of list entries included."""
    return {fact.at: fact for fact in _walk(part)}


def _walk(value: object) -> Iterator[Fact]:
    if isinstance(value, Fact):
        yield value
        if isinstance(value, Listed):
            for item in value.items:
                yield from _walk(item)
    elif isinstance(value, tuple):
        for item in value:
            yield from _walk(item)
    elif is_dataclass(value):
        for entry in fields(value):
            yield from _walk(getattr(value, entry.name))


def fact_at(proposal: Proposal, pointer: str) -> Fact | None:
    """Return the fact at *pointer*, or None where the proposal has no such place."""
    found = _child(proposal, pointer)
    return found if isinstance(found, Fact) else None


def with_fact(part: T, fact: Fact) -> T:
    """Return a proposal, or an object of one, with *fact* in the place that it names.

    Raises:
        KeyError: if there is no such place in it.
    """
    changed: T | None = _with(part, fact)
    if changed is None:
        raise KeyError(fact.at)
    return changed


def _child(value: object, pointer: str) -> object | None:
    for part in _parts(value, pointer):
        at = getattr(part, "at", None)
        if at == pointer and not isinstance(part, Listed):
            return part
        if isinstance(part, tuple) or (at is not None and (pointer.startswith(f"{at}/") or at == pointer)):
            found = _child(part, pointer)
            if found is not None:
                return found
            if at == pointer:
                return part
    return None


def _parts(value: object, pointer: str) -> Iterator[object]:
    """Go through the parts of a value that *pointer* can lead to; of a list, to one entry only."""
    if isinstance(value, Listed):
        index = pointer[len(value.at) + 1 :].partition("/")[0]
        if index.isdecimal():
            yield from value.items[int(index) : int(index) + 1]
    elif isinstance(value, tuple):
        yield from value
    elif is_dataclass(value) and not isinstance(value, Fact):
        for entry in fields(value):
            yield getattr(value, entry.name)


def _with(value: Any, fact: Fact) -> Any:  # noqa: ANN401 - goes down through every class of the proposal
    if isinstance(value, Fact) and value.at == fact.at:
        return fact
    if isinstance(value, Fact) and not isinstance(value, Listed):
        return None
    if isinstance(value, Listed):
        items = _changed_items(value.items, fact)
        return None if items is None else replace(value, items=items)
    for entry in fields(value):
        part = getattr(value, entry.name)
        at = getattr(part, "at", None)
        if at is not None and (at == fact.at or fact.at.startswith(f"{at}/")):
            changed = _with(part, fact)
            if changed is not None:
                said = {"given": True} if hasattr(value, "given") else {}
                return replace(value, **{entry.name: changed}, **said)
    return None


def _changed_items(items: tuple[Any, ...], fact: Fact) -> tuple[Any, ...] | None:
    for index, item in enumerate(items):
        if fact.at.startswith(f"{item.at}/"):
            changed = _with(item, fact)
            return None if changed is None else (*items[:index], changed, *items[index + 1 :])
    return None
