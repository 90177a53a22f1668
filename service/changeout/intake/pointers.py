"""JSON Pointers (RFC 6901), written and read."""

from __future__ import annotations

from typing import Final

LONGEST: Final = 500
"""Longer than a pointer to anything in a proposal, in characters."""


def join(pointer: str, *tokens: str | int) -> str:
    """Return *pointer* extended by *tokens*, each escaped."""
    return pointer + "".join(f"/{escaped(str(token))}" for token in tokens)


def within_reason(pointer: str) -> str:
    """Return *pointer*, or where its names are longer than any that is known, the part of it that leads up to them."""
    while len(pointer) > LONGEST:
        pointer = pointer.rpartition("/")[0]
    return pointer


def escaped(token: str) -> str:
    """Return *token* as a pointer writes it."""
    return token.replace("~", "~0").replace("/", "~1")


def split(pointer: str) -> list[str]:
    """Return the tokens of *pointer*, unescaped."""
    return [token.replace("~1", "/").replace("~0", "~") for token in pointer.split("/")[1:]]
