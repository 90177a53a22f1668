"""How a rule's row differs from the one in another edition: as kinds, and in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from changeout.domain.findings import Effect
from changeout.editions.rows import Parameter, Row

_EFFECTS: Final = {Effect.VIOLATION: "a requirement", Effect.ADVISORY: "advice", Effect.NONE: "nothing"}


def kinds_of_change(before: Row | None, row: Row) -> list[str]:
    """Return how a row differs from the one before: new, gone, effect, renumbered, parameter."""
    if before is None or (row.in_force and not before.in_force):
        return ["new"]
    if before.in_force and not row.in_force:
        return ["gone"]
    kinds = []
    if row.effect is not before.effect:
        kinds.append("effect")
    if (row.section, row.also) != (before.section, before.also):
        kinds.append("renumbered")
    if {k: p.value for k, p in row.parameters.items()} != {k: p.value for k, p in before.parameters.items()}:
        kinds.append("parameter")
    return kinds


def change_in_words(old: Row | None, new: Row, kinds: Sequence[str]) -> str:
    """Return a sentence on a change of these *kinds* from one row to the next."""
    if old is None or "new" in kinds:
        text = f"asked from here on: {_place(new)}"
        if new.effect is Effect.ADVISORY:
            text += ", as advice"
    elif "gone" in kinds:
        text = "no longer asked" + (", advice only" if new.effect is Effect.ADVISORY else "")
    else:
        text = "; ".join(_changed(old, new, kinds))
    return text[:1].upper() + text[1:] + "."


def _changed(old: Row, new: Row, kinds: Sequence[str]) -> Iterator[str]:
    if "effect" in kinds:
        yield f"{_EFFECTS[new.effect]} now, {_EFFECTS[old.effect]} before"
    if "renumbered" in kinds:
        yield f"{_place(new)} now, {_place(old)} before"
    for name in dict.fromkeys((*old.parameters, *new.parameters)):
        yield from _moved(name.replace("_", " "), old.parameters.get(name), new.parameters.get(name))


def _moved(name: str, old: Parameter | None, new: Parameter | None) -> Iterator[str]:
    was, now = _value(old), _value(new)
    if was == now:
        return
    if old is None or new is None:
        yield f"{name}: {now} from here on" if old is None else f"{name}: no longer set"
    elif isinstance(old.value, tuple) and isinstance(new.value, tuple):
        added, dropped = (_listed(v for v in one if v not in other) for one, other in _both_ways(old.value, new.value))
        parts = [f"{what} {which}" for what, which in (("adds", added), ("drops", dropped)) if which]
        yield f"{name}: {', '.join(parts) or 'in another order'}"
    else:
        yield f"{name}: {now} now, {was} before"


def _both_ways(old: tuple[object, ...], new: tuple[object, ...]) -> tuple[tuple[tuple[object, ...], ...], ...]:
    return (new, old), (old, new)


def _listed(values: Iterable[object]) -> str:
    return ", ".join(f"{v:g}" if isinstance(v, float) else str(v) for v in values)


def _place(row: Row) -> str:
    return ", ".join((row.section or "no section", *row.also))


def _value(parameter: Parameter | None) -> str:
    if parameter is None:
        return ""
    value = parameter.value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return _listed(value) or "none"
    text = f"{value:g}" if isinstance(value, float) else str(value)
    return f"{text} {parameter.unit}" if parameter.unit else text
