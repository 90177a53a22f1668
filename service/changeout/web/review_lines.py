"""The document as numbered lines: which findings rest on each, and what is wrong at each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from changeout.domain.findings import Finding, Outcome
from changeout.domain.problems import DocumentError
from changeout.intake.naming import ProposalMembers
from changeout.intake.placing import Places
from changeout.intake.pointers import split

MOST_LINES: Final = 8000
"""How many lines are shown; a proposal of usual size has a thousand."""

_LONGEST: Final = 2000
_SHOWN: Final = (Outcome.VIOLATION, Outcome.UNDETERMINED, Outcome.CONDITIONAL, Outcome.ADVISORY, Outcome.SATISFIED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """A line that a finding rests on: its number and what stands there; *missing*: what is not stated there."""

    line: int
    label: str
    missing: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of the document: its number and text, the findings that rest on it, what is wrong at it."""

    number: int
    text: str
    findings: tuple[int, ...] = ()
    errors: tuple[DocumentError, ...] = ()


def rests_of(finding: Finding, document: Mapping[str, Any], places: Places) -> tuple[Rest, ...]:
    """Return the lines that a finding rests on, in the order of the document, each once."""
    found: dict[int, list[str]] = {}
    gaps: dict[int, list[str]] = {}
    for pointer in dict.fromkeys((*finding.inputs, *finding.missing)):
        kept = found if _is_stated(document, pointer) else gaps
        kept.setdefault(places.of_value(pointer).line, []).append(_label(pointer))
    rests = [Rest(line=line, label=", ".join(labels), missing=False) for line, labels in found.items()]
    # A gap is told of at the object around it, unless something stated stands on that line.
    rests += [
        Rest(line=line, label=", ".join(labels), missing=True) for line, labels in gaps.items() if line not in found
    ]
    return tuple(sorted(rests, key=lambda rest: rest.line))


@lru_cache(maxsize=4096)
def _label(pointer: str) -> str:
    return ProposalMembers().label(pointer)


def _is_stated(document: object, pointer: str) -> bool:
    here = document
    for token in split(pointer):
        if isinstance(here, dict):
            here = here.get(token)
        elif isinstance(here, list) and token.isdecimal() and int(token) < len(here):
            here = here[int(token)]
        else:
            return False
    return here is not None


def lines_of(
    text: str,
    findings: Sequence[Finding] = (),
    rests: Sequence[Sequence[Rest]] = (),
    errors: Sequence[DocumentError] = (),
) -> tuple[Line, ...]:
    """Return the first lines of *text*, with the findings that rest on each, gravest first, and what is wrong."""
    on_line: dict[int, list[int]] = {}
    for index, (finding, its) in enumerate(zip(findings, rests, strict=True)):
        if finding.outcome in _SHOWN:
            for rest in its:
                on_line.setdefault(rest.line, []).append(index)
    wrong: dict[int, list[DocumentError]] = {}
    for error in errors:
        wrong.setdefault(error.line or 1, []).append(error)
    return tuple(
        Line(
            number=number,
            text=shown_line(line),
            findings=tuple(on_line.get(number, ())),
            errors=tuple(wrong.get(number, ())),
        )
        for number, line in enumerate(text.split("\n")[:MOST_LINES], 1)
    )


def shown_line(line: str) -> str:
    """Return a line of a document with what steers or is not seen spelled as an escape, and cut where it is endless."""
    spelled = "".join(map(_seen, line[:_LONGEST]))
    return f"{spelled} …" if len(line) > _LONGEST else spelled


def _seen(character: str) -> str:
    if character.isprintable() or character == "\t":
        return character
    return f"\\u{ord(character):04x}" if ord(character) <= 0xFFFF else f"\\U{ord(character):08x}"


def in_a_field(text: str) -> str:
    """Return a document as a field of a page can hold it: control characters, which no JSON has, are replaced."""
    return text.translate(_NOT_IN_HTML)


_NOT_IN_HTML: Final = {code: "\ufffd" for code in range(0x20) if chr(code) not in "\t\n"}
