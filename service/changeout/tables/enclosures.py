"""Enclosure types for places without explosion hazard."""

from __future__ import annotations

from changeout.tables.load import Row, TableError, table


def enclosure_types() -> tuple[str, ...]:
    """Return every type of the table."""
    return tuple(row.text("type") for row in table("enclosure_types"))


def keeps_out(enclosure_type: str) -> frozenset[str]:
    """Return what an enclosure type keeps out: ``rain``, ``dripping``, ``corrosion`` and so on.

    Raises:
        TableError: if there is no such type.

    Source: Table 110.28, enclosure_types.toml.
    """
    return frozenset(_row(enclosure_type).texts("keeps_out"))


def is_for_outdoors(enclosure_type: str) -> bool:
    """Whether the table lists the type for outdoor use.

    Raises:
        TableError: if there is no such type.
    """
    return _row(enclosure_type).flag("outdoors")


def is_for_indoors(enclosure_type: str) -> bool:
    """Whether the table lists the type for indoor use.

    Raises:
        TableError: if there is no such type.
    """
    return _row(enclosure_type).flag("indoors")


def protection_words(enclosure_type: str) -> str:
    """Return what the type protects against, in words.

    Raises:
        TableError: if there is no such type.
    """
    return _row(enclosure_type).text("protects_against")


def types_that_are(tightness: str) -> tuple[str, ...]:
    """Return the types that are ``raintight``, ``rainproof``, ``watertight``, ``driptight`` or ``dusttight``.

    Raises:
        TableError: if there is no such word.

    Source: note of Table 110.28, from memory, enclosure_types.toml.
    """
    for row in table("enclosure_types").parts["tightness"]:
        if row.text("name") == tightness:
            return row.texts("types")
    raise TableError(f"enclosure_types.toml: no tightness {tightness}")


def _row(enclosure_type: str) -> Row:
    for row in table("enclosure_types"):
        if row.text("type") == enclosure_type:
            return row
    raise TableError(f"enclosure_types.toml: no type {enclosure_type}")
