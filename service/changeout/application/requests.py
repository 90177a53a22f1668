"""Requests that hold a proposal and something besides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from changeout.domain.problems import DocumentError, Refusal
from changeout.intake.read import ReadProposal, Within, read_value
from changeout.intake.reader import JsonText, read_json


@dataclass(frozen=True, slots=True)
class Part:
    """One member of a request: its name, JSON type, whether it must be there, and how many entries it may have."""

    name: str
    kind: type
    required: bool = False
    most: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """A request that was read: its members, and its text for placing errors."""

    value: Mapping[str, Any]
    text: JsonText

    def proposal(self, name: str, *, edition_chosen: bool) -> ReadProposal:
        """Return the proposal that the member *name* is.

        Raises:
            Refusal: if it is none, its errors placed in the request.
        """
        return read_value(
            self.value[name], within=Within(text=self.text, pointer=f"/{name}"), edition_chosen=edition_chosen
        )

    def edition(self, known: Sequence[str]) -> str | None:
        """Return the edition that the request names, or None.

        Raises:
            Refusal: if no edition has this name.
        """
        edition = self.value.get("edition")
        if edition is not None and edition not in known:
            raise self.refusal("/edition", "not-in-list", f"Expected here: one of {', '.join(known)}.")
        return edition

    def refusal(self, pointer: str, code: str, detail: str) -> Refusal:
        """Return a refusal of the request at *pointer*."""
        return Refusal("unreadable-request", detail, (DocumentError(pointer=pointer, code=code, detail=detail),))


_NAMES = {dict: "an object", list: "an array", str: "a text", bool: "true or false"}


def read_request(body: bytes, *parts: Part) -> Request:
    """Return a request with the *parts* that it may have.

    Raises:
        Refusal: if it is no JSON object of these parts; all that is wrong with them at once.
    """
    text = read_json(body)
    value = text.value
    if not isinstance(value, dict):
        raise Refusal("unreadable-request", "An object is expected.")
    known = {part.name: part for part in parts}
    errors = [
        DocumentError(pointer=f"/{name}", code="unknown-member", detail=f"Known here are {', '.join(known)}.")
        for name in value
        if name not in known
    ]
    for part in parts:
        errors += _errors(part, value)
    if errors:
        raise Refusal("unreadable-request", "The request has members that cannot be taken.", tuple(errors))
    return Request(value={k: v for k, v in value.items() if v is not None}, text=text)


def _errors(part: Part, value: Mapping[str, Any]) -> list[DocumentError]:
    found, at = value.get(part.name), f"/{part.name}"
    if found is None:
        missing = DocumentError(pointer=at, code="missing-member", detail=f"{_NAMES[part.kind]} is expected here.")
        return [missing] if part.required else []
    if type(found) is not part.kind:
        return [DocumentError(pointer=at, code="wrong-type", detail=f"{_NAMES[part.kind]} is expected here.")]
    if part.most is not None and isinstance(found, list) and not 1 <= len(found) <= part.most:
        return [DocumentError(pointer=at, code="too-many", detail=f"1 to {part.most} entries are expected here.")]
    return []
