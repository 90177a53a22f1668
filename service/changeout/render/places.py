"""Places of a proposal in words: ``circuit 5``, ``run lateral``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from changeout.domain.proposal import Proposal

_AT_ENTRY: Final = "at entry "
_LISTS: Final = {
    "/panelboard/circuits/": "circuit",
    "/supply/runs/": "run",
    "/supply/separately_derived/primary_runs/": "run",
    "/generation/": "source",
    "/load/appliances/": "appliance",
    "/documents/": "document",
}


def place_name(pointer: str, proposal: Proposal | None = None) -> str:
    """Return what stands at *pointer* in words where it lies in a list, else the pointer itself.

    With the *proposal*, circuits and runs go by their own number or name; without, by their place in the list.
    """
    for start, noun in _LISTS.items():
        index, _, rest = pointer.removeprefix(start).partition("/")
        if pointer.startswith(start) and index.isdecimal():
            own = _own_name(start, int(index), proposal)
            name = f"{noun} {own}" if own else f"{noun} {_AT_ENTRY}{int(index) + 1}"
            return f"{name}, {_spelled(rest)}" if rest else name
    return pointer or "the proposal"


def place_names(pointers: Sequence[str], proposal: Proposal | None = None) -> str:
    """Return several places as one phrase, like ones gathered: ``circuits 1, 3, 5, conductor size; run lateral``."""
    gathered: dict[tuple[str, str], list[str]] = {}
    for pointer in dict.fromkeys(pointers):
        name, comma, rest = place_name(pointer, proposal).partition(", ")
        noun, _, own = name.partition(" ")
        is_circuit = noun == "circuit" and pointer.startswith("/panelboard/circuits/")
        gathered.setdefault((noun, f"{comma}{rest}") if is_circuit else (name, f"{comma}{rest}"), []).append(own)
    return "; ".join(
        f"{noun if ' ' in noun or noun != 'circuit' else _circuits(own)}{rest}"
        for (noun, rest), own in gathered.items()
    )


def _circuits(own: Sequence[str]) -> str:
    if len(own) == 1:
        return f"circuit {own[0]}"
    entries = [name.removeprefix(_AT_ENTRY) for name in own if name.startswith(_AT_ENTRY)]
    if len(entries) == len(own):
        return f"circuits at entries {', '.join(entries)}"
    return f"circuits {', '.join(own)}"


def _own_name(start: str, index: int, proposal: Proposal | None) -> str | None:
    if proposal is None:
        return None
    if start == "/panelboard/circuits/":
        circuits = proposal.panelboard.circuits.items
        number = circuits[index].number.value if index < len(circuits) else None
        return f"{number:g}" if number is not None else None
    if start == "/supply/runs/":
        runs = proposal.supply.runs.items
        return runs[index].id.value if index < len(runs) else None
    return None


def _spelled(rest: str) -> str:
    return rest.replace("/", ", ").replace("_", " ")
