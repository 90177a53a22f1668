"""What one member alone cannot show: ids used twice, documents that are not there, no edition, contradictions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from changeout.intake.contradictions import contradictions
from changeout.intake.fields import DocumentRef
from changeout.intake.flaws import Flaw, FoundFlaw, Said
from changeout.intake.members import MemberPath, walk
from changeout.intake.pointers import join
from changeout.intake.schemas.proposal import PROPOSAL

_CIRCUIT_TWICE: Final = Said("Another circuit has this number; each circuit has its own, such as 1, 3 and 5.")
_DOCUMENT_TWICE: Final = Said('Another document has this id; each document has its own, such as "d1" and "d2".')
_RUN_TWICE: Final = Said('Another run has this id; each run has its own, such as "lateral" and "feeder".')
_NO_DOCUMENT: Final = Said('Expected here: the id of an entry of documents, such as "d1".')
_NO_EDITION: Final = Said(
    'A ruleset cannot be chosen: state an edition, such as "2023", or a jurisdiction and applied_on.'
)

_CIRCUITS: Final = MemberPath("/panelboard/circuits")
_DOCUMENTS: Final = MemberPath("/documents")
_RUNS: Final = MemberPath("/supply/runs")
_PRIMARY_RUNS: Final = MemberPath("/supply/separately_derived/primary_runs")
_REFERENCES: Final = tuple(
    MemberPath(pointer) for pointer, member in walk(PROPOSAL, "") if isinstance(member, DocumentRef)
)


def cross_checks(read: Mapping[str, Any]) -> Iterator[FoundFlaw]:
    """Yield what is wrong between members in what was read, flawed members left out."""
    yield from _repeated(_values(read, _CIRCUITS, "number"), _CIRCUIT_TWICE)
    yield from _repeated(_values(read, _DOCUMENTS, "id"), _DOCUMENT_TWICE)
    yield from _repeated([*_values(read, _RUNS, "id"), *_values(read, _PRIMARY_RUNS, "id")], _RUN_TWICE)
    ids = {document.get("id") for document in _DOCUMENTS.of(read) or ()}
    for reference in _REFERENCES:
        named = reference.of(read)
        if named is not None and named not in ids:
            yield FoundFlaw(pointer=reference.pointer, flaw=Flaw("no-such-document", _NO_DOCUMENT))
    yield from contradictions(read)


def lacks_edition(document: Mapping[str, Any]) -> FoundFlaw | None:
    """Return what is wrong where *document* says neither an edition nor a jurisdiction with a date."""
    project = document.get("project")
    if not isinstance(project, dict) or project.get("edition") is not None:
        return None
    if project.get("jurisdiction") is not None and project.get("applied_on") is not None:
        return None
    return FoundFlaw(pointer="/project", flaw=Flaw("no-edition", _NO_EDITION))


def _values(read: Mapping[str, Any], objects: MemberPath, name: str) -> list[tuple[str, Any]]:
    return [
        (join(objects.pointer, index, name), item[name])
        for index, item in enumerate(objects.of(read) or ())
        if item.get(name) is not None
    ]


def _repeated(values: Iterable[tuple[str, Any]], said: Said) -> Iterator[FoundFlaw]:
    seen: dict[Any, str] = {}
    for pointer, value in values:
        if value in seen:
            yield FoundFlaw(pointer=pointer, flaw=Flaw("not-unique", said), also=(seen[value],))
        seen.setdefault(value, pointer)
