"""JSON Pointers (RFC 6901), written and read."""

from __future__ import annotations


def join(pointer: str, *tokens: str | int) -> str:
    """Return *pointer* extended by *tokens*, each escaped."""
    return pointer + "".join(f"/{escaped(str(token))}" for token in tokens)


def escaped(token: str) -> str:
    """Return *token* as a pointer writes it."""
    return token.replace("~", "~0").replace("/", "~1")


def split(pointer: str) -> list[str]:
    """Return the tokens of *pointer*, unescaped."""
    return [token.replace("~1", "/").replace("~0", "~") for token in pointer.split("/")[1:]]
