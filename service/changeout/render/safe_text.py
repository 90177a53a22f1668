"""Text that somebody else wrote, made harmless to whatever shows it."""

from __future__ import annotations

import unicodedata
from typing import Final

_SPELLED_OUT: Final = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
"""Categories whose characters steer a terminal, a line or the direction of reading."""

_LAST_OF_PLANE: Final = 0xFFFE


def printable(text: str) -> str:
    """Return *text* in one line: runs of space as one, and what steers or has no character spelled as an escape.

    What is left may stand in XML and HTML once markup is escaped.
    """
    return " ".join("".join(c if _is_printable(c) else _spelled(c) for c in text).split())


def _is_printable(character: str) -> bool:
    code = ord(character)
    if code & 0xFFFF >= _LAST_OF_PLANE or 0xFDD0 <= code <= 0xFDEF:
        return False
    return character in "\t\n\r" or unicodedata.category(character) not in _SPELLED_OUT


def _spelled(character: str) -> str:
    code = ord(character)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"
