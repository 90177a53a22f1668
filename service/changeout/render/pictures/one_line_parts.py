"""A supply from its source to the panelboard as parts to draw, each with its symbol and what is known of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from changeout.domain.facts import Choice, Number
from changeout.domain.proposal import (
    MainDevice,
    OvercurrentDevice,
    Panelboard,
    Proposal,
    Run,
    RunDevice,
    SeparatelyDerived,
    Source,
    Supply,
)
from changeout.render.amounts import NOT_STATED, amount, number_stated, power_stated
from changeout.render.pictures import symbols
from changeout.render.pictures.drawing import Drawing
from changeout.render.pictures.fault_points import FaultPoints

Symbol = Callable[[Drawing, float, float], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part on the wire: its symbol (none: a conductor), its lines of text, whether it is known, the point after.

    ``point`` names the place after the part at which the calculation has a fault current.
    """

    lines: tuple[str, ...]
    symbol: Symbol | None = None
    known: bool = True
    grounded: bool = False
    point: str | None = None


def parts_of(proposal: Proposal, points: FaultPoints) -> Iterator[Part]:
    """Yield the parts from the source down to the wire that ends at the panelboard."""
    supply = proposal.supply
    derived = supply.separately_derived
    yield from _source(supply, points)
    if derived is None:
        yield from _device(supply.overcurrent_device)
        yield from _runs(supply.runs.items, given=supply.runs.stated, points=points, primary=False)
        return
    first = supply.overcurrent_device
    before = first is None or first.position.value != "after-transformer"
    if before:
        yield from _device(first)
    yield from _runs(derived.primary_runs.items, given=derived.primary_runs.stated, points=points, primary=True)
    yield _derived(derived, supply, points)
    if not before:
        yield from _device(first)
    yield from _runs(supply.runs.items, given=supply.runs.stated, points=points, primary=False)


def panelboard_lines(panelboard: Panelboard) -> list[str]:
    """Return what is known of the panelboard itself."""
    circuits = f"{len(panelboard.circuits)} circuits" if panelboard.circuits.stated else f"circuits {NOT_STATED}"
    return [
        f"Panelboard, {_word(panelboard.role, 'role')}",
        f"busbar {number_stated(panelboard.busbar_rating_a, 'A')}",
        f"short-circuit current rating {number_stated(panelboard.short_circuit_rating_a, 'A')}",
        circuits,
    ]


def main_lines(main: MainDevice) -> list[str]:
    """Return what is known of a main."""
    if main.kind.value == "lugs":
        return ["main lugs"]
    poles = f", {main.poles.value:g} poles" if main.poles.value is not None else ""
    return [
        f"main {_word(main.kind, 'of a kind')}, rating {number_stated(main.rating_a, 'A')}{poles}",
        f"interrupting rating {number_stated(main.interrupting_rating_a, 'A')}",
    ]


def main_symbol(main: MainDevice) -> Symbol | None:
    """Return the symbol of a main; main lugs and an unknown main have none."""
    return {"breaker": symbols.breaker, "fusible": symbols.fuse}.get(main.kind.value or "")


def _source(supply: Supply, points: FaultPoints) -> Iterator[Part]:
    source, primary = supply.source, supply.separately_derived is not None
    system = (
        (supply.separately_derived.primary_system.value if supply.separately_derived else None)
        if primary
        else supply.system.value
    )
    if source.kind.value == "transformer":
        yield Part(symbol=symbols.source, lines=_upstream(source), known=source.upstream.kind.stated)
        yield Part(
            symbol=symbols.transformer,
            lines=(
                f"Transformer {power_stated(source.rating_va)}, "
                f"{_percent(source.impedance_percent)}, X/R {_plain(source.x_over_r)}",
                f"to {_system(system)}",
                *_known(points.impedance("Ztp" if primary else "Zt")),
            ),
            grounded=not primary and supply.system_grounding.value == "solidly-grounded",
            point="source terminals",
        )
        return
    if source.kind.value == "stated":
        yield Part(symbol=symbols.source, lines=_stated(source, system), point="source terminals")
        return
    yield Part(
        symbol=symbols.source,
        lines=(f"Source {NOT_STATED}", _system(system)),
        known=False,
        point="source terminals",
    )


def _upstream(source: Source) -> tuple[str, ...]:
    upstream = source.upstream
    if upstream.kind.value == "unlimited":
        return ("Utility, taken as unlimited",)
    if upstream.kind.value is None:
        return (f"Utility, short-circuit power {NOT_STATED}",)
    return (f"Utility, {power_stated(upstream.value_va)} short-circuit power, X/R {_plain(upstream.x_over_r)}",)


def _stated(source: Source, system: str | None) -> tuple[str, ...]:
    by = f" by {source.stated_by.value}" if source.stated_by.value else ""
    dated = f", dated {source.dated.value.isoformat()}" if source.dated.value else f", date {NOT_STATED}"
    return (
        f"Source, fault current stated{by}{dated}",
        f"{number_stated(source.available_fault_current_a, 'A')} ({_word(source.fault_type, 'fault type')}), "
        f"X/R {_plain(source.x_over_r)}",
        _system(system),
    )


def _derived(derived: SeparatelyDerived, supply: Supply, points: FaultPoints) -> Part:
    return Part(
        symbol=symbols.transformer,
        lines=(
            f"Transformer on the premises {power_stated(derived.rating_va)}, "
            f"{_percent(derived.impedance_percent)}, X/R {_plain(derived.x_over_r)}",
            f"{_system(derived.primary_system.value)} to {_system(supply.system.value)}",
            *_known(points.impedance("Zt")),
        ),
        grounded=supply.system_grounding.value == "solidly-grounded",
        point="transformer's secondary terminals",
    )


def _device(device: OvercurrentDevice | None) -> Iterator[Part]:
    if device is not None:
        yield _protection(device, "Overcurrent device ahead", None)


def _protection(device: OvercurrentDevice | RunDevice, name: str, point: str | None) -> Part:
    return Part(
        symbol=symbols.fuse if device.kind.value == "fuse" else symbols.breaker,
        lines=(
            f"{name}: {_word(device.kind, 'kind')}, rating {number_stated(device.rating_a, 'A')}",
            f"interrupting rating {number_stated(device.interrupting_rating_a, 'A')}",
        ),
        known=device.kind.stated,
        point=point,
    )


def _runs(runs: tuple[Run, ...], *, given: bool, points: FaultPoints, primary: bool) -> Iterator[Part]:
    if not given:
        yield Part(lines=(f"Conductors {NOT_STATED}",), known=False)
    mark = "p" if primary else ""
    for number, run in enumerate(runs, 1):
        is_last = number == len(runs) and not primary
        ohms = [points.impedance(f"{axis}{mark}{number}") for axis in "RX"]
        yield Part(
            lines=(
                f"Run {run.id.value or number}: {_sets(run)}{_size(run)}",
                f"{_length(run.length_in)}, {_raceway(run)}",
                *_known(", ".join(filter(None, ohms)) or None),
            ),
            known=run.size.stated and run.length_in.stated,
            point=None if is_last else f"end of run {run.id.value or number}",
        )
        if run.device_after is not None:
            yield _protection(run.device_after, f"Device after run {run.id.value or number}", None)


def _sets(run: Run) -> str:
    return "" if run.sets.value in (None, 1) else f"{run.sets.value:g} sets of "


def _size(run: Run) -> str:
    return f"{run.size.value or f'size {NOT_STATED}'} {run.material.value or f'material {NOT_STATED}'}"


def _length(length_in: Number) -> str:
    return f"length {NOT_STATED}" if length_in.value is None else amount(length_in.value / 12.0, "ft")


def _raceway(run: Run) -> str:
    return f"{run.raceway.value} raceway" if run.raceway.value else f"raceway {NOT_STATED}"


def _percent(number: Number) -> str:
    return f"impedance {NOT_STATED}" if number.value is None else f"{number.value:g} %Z"


def _plain(number: Number) -> str:
    return NOT_STATED if number.value is None else f"{number.value:g}"


def _word(choice: Choice, name: str) -> str:
    return choice.value or f"{name} {NOT_STATED}"


def _system(name: str | None) -> str:
    return f"system {NOT_STATED}" if name is None else name.replace("-", " ")


def _known(text: str | None) -> tuple[str, ...]:
    return () if text is None else (text,)
