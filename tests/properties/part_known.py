"""Proposals of which only part is stated: members taken out, and what is missing stated at random.

What may be stated is read off the interface itself: every member of every object that is there, in its whole physical
range, with every word that it may be. Only what says something by its absence stays out (``SAYS_BY_ABSENCE``).
"""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator
from typing import Any

from marshmallow import ValidationError

from changeout.domain.findings import Outcome
from changeout.domain.problems import Refusal
from changeout.electrical.motors import DWELLINGS
from changeout.intake.fields import (
    Count,
    Day,
    DocumentRef,
    Flag,
    Member,
    Numeric,
    PowerOrCurrent,
    Quantity,
    Text,
    VoltageRating,
    Word,
    Words,
)
from changeout.intake.naming import ProposalMembers
from changeout.intake.pointers import split
from changeout.intake.read import ReadProposal, read_value
from changeout.intake.record import ListOf, Nested, Record
from changeout.intake.schemas.proposal import PROPOSAL
from changeout.review.calculations import case_of
from changeout.review.trial import Trials

SAYS_BY_ABSENCE = {
    "/changeout": "the version of the document, no fact",
    "/project/reference": "echoed, never judged",
    "/project/annotations": "echoed, never judged",
    "/project/edition": "chooses the rules, is none of the facts",
    "/project/jurisdiction": "chooses the rules, is none of the facts",
    "/work/status": "left out: proposed",
    "/supply/motor_multiplier": "left out: four times full load",
    "/supply/source/bank": "left out: one unit, or three alike",
    "/supply/source/line_to_neutral_fault_current": "left out: the letter states one current",
    "/supply/separately_derived": "left out: none",
    "/supply/overcurrent_device": "left out: none",
    "/panelboard/second_main": "left out: none",
    "/supply/runs/*/device_after": "left out: none",
    "/supply/separately_derived/primary_runs/*/device_after": "left out: none",
    "/supply/runs/*/resistance": "left out: the printed table's",
    "/supply/runs/*/reactance": "left out: the printed table's",
    "/supply/separately_derived/primary_runs/*/resistance": "left out: the printed table's",
    "/supply/separately_derived/primary_runs/*/reactance": "left out: the printed table's",
    "/waivers": "left out: none",
    "/supply/system_grounding": "left out, with a neutral: solidly grounded",
    "/panelboard/circuits/*/multiwire_group": "left out: not declared to share a neutral",
    "/location/over_steps": "left out, anywhere but in a stairway: not over steps",
    "/load/ev_counted": "left out: nothing counted beside the appliances",
    "/service/emergency_disconnect_marking": "left out: marked is taken at its word",
    "/panelboard/emergency_circuits": "left out: none declared",
    "/panelboard/circuits/*/afci_at_first_outlet": "left out beside a breaker without such protection: none",
    "/supply/tap_rule": "left out: none is claimed",
    "/supply/tap_length": "left out, beside no rule for taps: to be seen on site",
    "/supply/building": "left out: that of the proposal's occupancy",
    "/enclosure/air_space": "left out: said as a caution",
    "/location/working_space/unobstructed_exit": "left out, beside a single way out: no unobstructed one is claimed",
}
"""Members whose absence is a statement, so no unknown, and what is said by it."""

EVERYDAY = ("120/240V-1ph-3w", "120/208V-1ph-3w", "208Y/120V-3ph-4w")
"""Systems on which a breaker of no stated voltage rating is taken to be marked high enough."""

JUMPERS = ("screw", "strap", "wire", "busbar")
VOLTAGES = ("120/240 V", "240 V", "208Y/120 V", "480Y/277 V", "480 V", "600 V", "277 V", "120 V", "600Y/347 V")
TEXTS = ("spare", "kitchen counter", "service disconnect", "emergency disconnect, service disconnect", "a b c", "other")
MEMBERS = ProposalMembers()


def pattern(pointer: str) -> str:
    """The pointer with ``*`` for every index."""
    return "/".join("*" if token.isdigit() else token for token in pointer.split("/"))


def outcomes_under(service: Any, read: ReadProposal) -> dict[tuple[str, str], Outcome]:
    """What each rule says of each subject of a proposal that was read, without the rest of a report."""
    ruleset, adoption = service.chosen(read, None)
    whole = Trials(case_of(read.proposal, ruleset, adoption), ruleset).as_it_is
    return {(rule, subject): o for rule in ruleset.edition.rows for subject, o in whole.outcomes(rule).items()}


def judged(service: Any, document: dict[str, Any], **options: Any) -> Any:
    """The report on a document."""
    return service.report_on(read_value(document), detail=options.get("detail", "findings"))


def members_of(document: dict[str, Any]) -> list[str]:
    """The members that the document states and that may be left out: leaves, and whole lists of objects."""
    found: list[str] = []

    def go(record: Record, value: dict[str, Any], at: str) -> None:
        for name, stated in value.items():
            member, here = record.members[name], f"{at}/{name}"
            if stated is None or (pattern(here) in SAYS_BY_ABSENCE and not isinstance(member, Nested)):
                continue
            if isinstance(member, Nested):
                go(member.record, stated, here)
                continue
            if not member.required:
                found.append(here)
            if isinstance(member, ListOf):
                for index, entry in enumerate(stated):
                    go(member.record, entry, f"{here}/{index}")

    go(PROPOSAL, document, "")
    return [p for p in found if not p.startswith(("/waivers", "/project/annotations")) and not is_named(document, p)]


def is_named(document: dict[str, Any], pointer: str) -> bool:
    """Whether others name it: leaving a document out that a member names makes no proposal."""
    return pointer == "/documents" and len(document["documents"]) > 0


def without(document: dict[str, Any], pointers: tuple[str, ...] | list[str]) -> dict[str, Any]:
    """The document with members left out; a member of what is left out too is no further loss."""
    changed = copy.deepcopy(document)
    for pointer in pointers:
        *path, last = split(pointer)
        holder: Any = changed
        for token in path:
            holder = holder[int(token)] if isinstance(holder, list) else holder.get(token)
            if holder is None:
                break
        if isinstance(holder, dict):
            holder.pop(last, None)
    return changed


def unreal(document: dict[str, Any]) -> set[str]:
    """Members of a document that can be read and yet do not go together: nothing that is built contradicts an answer so.

    Neutral and enclosure said to be apart, and a jumper that joins them; a raceway that grounds, of a wire's size; a
    source on the busbar and ahead of it; a breaker fed by a source where there is none; more wires on a terminal than
    sets; a main larger than its busbar, which has a rule of its own; a new circuit that is lengthened; the bare neutral
    of service cable in another wiring method; equipment over 100 A marked for less than the column that it has without
    a marking; a common area of a dwelling, which is said and never assumed.
    """
    found = set() if document["project"].get("serves") != "common-area" else {"/project/serves"}
    return found.union(_unreal_grounding(document), _unreal_sources(document), _unreal_panelboard(document))


def _unreal_grounding(document: dict[str, Any]) -> Iterator[str]:
    grounding = document.get("grounding") or {}
    if grounding.get("neutral_isolated") and (grounding.get("main_bonding_jumper") or {}).get("kind") in JUMPERS:
        yield from ("/grounding/neutral_isolated", "/grounding/main_bonding_jumper/kind")
    bonding = grounding.get("equipment_grounding_conductor") or {}
    if bonding.get("kind") == "raceway" and bonding.get("size") is not None:
        yield from (f"/grounding/equipment_grounding_conductor/{name}" for name in ("kind", "size"))


def _unreal_sources(document: dict[str, Any]) -> Iterator[str]:
    generation, panelboard = document.get("generation"), document.get("panelboard") or {}
    for index, source in enumerate(generation or []):
        if source.get("position") is not None and source.get("connection") == "supply-side":
            yield from (f"/generation/{index}/position", f"/generation/{index}/connection")
    for index, circuit in enumerate(panelboard.get("circuits") or []):
        if generation == [] and (circuit.get("breaker") or {}).get("backfed"):
            yield from ("/generation", f"/panelboard/circuits/{index}/breaker/backfed")


def _unreal_panelboard(document: dict[str, Any]) -> Iterator[str]:
    panelboard, enclosure = document.get("panelboard") or {}, document.get("enclosure") or {}
    runs = (document.get("supply") or {}).get("runs") or []
    if runs and (enclosure.get("wires_per_terminal") or 1) > (runs[-1].get("sets") or 20):
        yield from ("/enclosure/wires_per_terminal", f"/supply/runs/{len(runs) - 1}/sets")
    rating, busbar = amperes(panelboard.get("main"), "rating"), amperes(panelboard, "busbar_rating")
    if rating is not None and busbar is not None and rating > busbar:
        yield from ("/panelboard/main/rating", "/panelboard/busbar_rating")
    for index, circuit in enumerate(panelboard.get("circuits") or []):
        at = f"/panelboard/circuits/{index}"
        if circuit.get("existing") is False and (circuit.get("conductor") or {}).get("extended_by") is not None:
            yield from (f"{at}/existing", f"{at}/conductor/extended_by")
        if circuit.get("neutral") == "bare-se" and circuit.get("wiring_method") not in {None, "service-cable"}:
            yield from (f"{at}/neutral", f"{at}/wiring_method")
    marked = panelboard.get("termination_temperature")
    if marked is not None and (busbar is None or busbar > 100) and float(marked.split()[0]) < 75:
        yield "/panelboard/termination_temperature"


def amperes(holder: dict[str, Any] | None, name: str) -> float | None:
    """A current that an object states, in amperes."""
    written = (holder or {}).get(name)
    if written is None:
        return None
    number, unit = written.split()
    return float(number) * (1000.0 if unit == "kA" else 1.0)


class Completion:
    """States what a document leaves out, at random; now and then as *original*, the whole document, has it."""

    def __init__(self, rng: Any, original: dict[str, Any], *, leaving_out: float = 0.1) -> None:
        self.rng, self.original, self.leaving_out = rng, original, leaving_out
        self.added: list[str] = []
        self.everyday = False
        self.tapped = False

    def of(self, document: dict[str, Any], tries: int = 60) -> dict[str, Any] | None:
        """A document that states more and can be read; None where chance gave contradictions only."""
        read = self.read(document, tries)
        return None if read is None else dict(read.document)

    def read(self, document: dict[str, Any], tries: int = 60) -> ReadProposal | None:
        """The same as it was read."""
        completed = copy.deepcopy(document)
        self.added = []
        supply = completed.get("supply") or {}
        self.everyday = supply.get("system") in EVERYDAY
        before = (supply.get("separately_derived") or {}).get("primary_system", supply.get("system"))
        self.tapped = before == "120/240V-1ph-3w"
        self._complete(PROPOSAL, completed, "")
        for _ in range(tries):
            wrong = unreal(completed)
            if not wrong:
                try:
                    return read_value(completed)
                except Refusal as refusal:
                    wrong = {p for e in refusal.errors for p in (e.pointer, *e.also)}
            mine = [p for p in self.added if any(p == w or w.startswith(f"{p}/") for w in wrong)]
            if not mine:
                return None
            completed = without(completed, [self.rng.choice(mine)])
        return None

    def _complete(self, record: Record, value: dict[str, Any], at: str) -> None:
        barred: frozenset[str] = frozenset()
        names = list(record.members)
        if record.kinds is not None:
            names.sort(key=lambda name: name != record.kinds.chosen_by)
        for name in names:
            member, here = record.members[name], f"{at}/{name}"
            if name not in barred and pattern(here) not in SAYS_BY_ABSENCE:
                self._member(member, value, name, here)
            elif isinstance(member, Nested) and value.get(name) is not None:
                self._complete(member.record, value[name], here)
            if record.kinds is not None and name == record.kinds.chosen_by and isinstance(value.get(name), str):
                barred = record.kinds.barred(value[name])

    def _member(self, member: Member, value: dict[str, Any], name: str, here: str) -> None:
        if isinstance(member, Nested):
            inner = value.get(name)
            if inner is None:
                inner = value[name] = {}
            self._complete(member.record, inner, here)
        elif isinstance(member, ListOf) and value.get(name) is not None:
            for index, entry in enumerate(value[name]):
                self._complete(member.record, entry, f"{here}/{index}")
        elif value.get(name) is None and (member.required or self.rng.random() >= self.leaving_out):
            stated = self._entries(member, here) if isinstance(member, ListOf) else self._leaf(member, here)
            if stated is not None:
                value[name] = stated
                self.added.append(here)

    def _leaf(self, member: Member, here: str) -> Any:
        if here.endswith("/voltage_rating") and self.everyday:
            return None
        was = self._as_it_was(here) if self.rng.random() < 0.35 else None
        return self.value_of(member, here) if was is None else was

    def _entries(self, member: ListOf, here: str) -> list[dict[str, Any]]:
        if here == "/documents":
            return []
        was = self._as_it_was(here)
        if was is not None and self.rng.random() < 0.5:
            return copy.deepcopy(was)
        entries: list[dict[str, Any]] = [{} for _ in range(self.rng.choice((0, 1, 1, 2, 3)))]
        for index, entry in enumerate(entries):
            self._complete(member.record, entry, f"{here}/{index}")
            self.added = [p for p in self.added if not p.startswith(f"{here}/")]
        return entries

    def _as_it_was(self, here: str) -> Any:
        found: Any = self.original
        for token in split(here):
            if isinstance(found, list):
                found = found[int(token)] if int(token) < len(found) else None
            elif isinstance(found, dict):
                found = found.get(token)
            if found is None:
                return None
        return found

    def value_of(self, member: Member, here: str) -> Any:
        """Any value that the member may have, as a proposal writes it; None for what cannot be made up."""
        rng = self.rng
        match member:
            case Flag():
                return rng.random() < 0.5
            case Word():
                return self._word(member, here)
            case Words():
                words = list(member.one.words)
                return rng.sample(words, rng.choice((0, 1, 1, 2, len(words))))
            case Quantity() | Numeric():
                return self._number(member, here)
            case PowerOrCurrent():
                return f"{round(10 ** rng.uniform(1, 5))} {rng.choice(('A', 'VA', 'W'))}"
            case VoltageRating():
                return rng.choice(VOLTAGES)
            case Text():
                return self._text(member, here)
            case Day():
                return f"{rng.randint(2015, 2028)}-{rng.randint(1, 12):02}-{rng.randint(1, 28):02}"
            case _:
                return None

    def _word(self, member: Word, here: str) -> str:
        word: str = self.rng.choice(member.words)
        if here == "/supply/source/fault_type" and not self.tapped:
            # Left out on a three-phase system, a stated current counts for every fault at its point.
            return str(self.rng.choice(("greatest", "three-phase")))
        if here == "/supply/system":
            self.everyday = word in EVERYDAY
        return word

    def _text(self, member: Text, here: str) -> str | None:
        if isinstance(member, DocumentRef):
            documents = self.original.get("documents") or []
            return str(self.rng.choice(documents)["id"]) if documents else None
        return f"{here} {self.rng.random():.3f}"[-member.longest :] if here.endswith("/id") else self.rng.choice(TEXTS)

    def _number(self, member: Any, here: str) -> Any:
        rng, low, high = self.rng, member.bounds.low, member.bounds.high
        if here == "/supply/motor_full_load_current":
            # Of motors that nobody stated, what is assumed of them counts, not the whole range.
            if self.original["project"]["occupancy"] in DWELLINGS:
                return "0 A"
            return None
        kind = rng.random()
        if kind < 0.15:
            value = rng.choice((low, high))
        elif kind < 0.4:
            value = rng.uniform(low, high)
        else:
            least = max(low, high * 1e-6)
            value = math.exp(rng.uniform(math.log(least), math.log(high)))
        if isinstance(member, Count):
            value = round(value)
        stated = MEMBERS.written(here, float(f"{value:.6g}"))
        try:
            member.take(stated)
        except ValidationError:
            return MEMBERS.written(here, float(f"{(low + high) / 2:.6g}"))
        return stated
