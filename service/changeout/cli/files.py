"""The files that a command is given: names, folders, patterns, and standard input."""

from __future__ import annotations

import glob
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from changeout.domain.problems import Refusal
from changeout.intake.reader import MOST_BYTES

STANDARD_INPUT: Final = "-"


def expanded(arguments: Sequence[str]) -> list[str]:
    """Return the files that *arguments* name, in order.

    A folder stands for every ``.json`` file in it and below, a pattern for what it matches; both sorted. What
    names nothing stays, so that reading it says so.
    """
    names: list[str] = []
    for argument in arguments:
        path = Path(argument)
        if argument != STANDARD_INPUT and path.is_dir():
            found = sorted(str(file) for file in path.rglob("*.json") if file.is_file())
        elif argument != STANDARD_INPUT and not path.exists():
            found = sorted(glob.glob(argument, recursive=True))  # noqa: PTH207 (pathlib refuses absolute patterns)
        else:
            found = [argument]
        names += found or [argument]
    return names


def shown(name: str) -> str:
    """Return how a file is called in messages."""
    return "<standard input>" if name == STANDARD_INPUT else name


def read(name: str) -> bytes:
    """Return the bytes of a file, at most one more than a document may have.

    Raises:
        Refusal: ``not-found`` if it cannot be read.
    """
    try:
        if name == STANDARD_INPUT:
            return sys.stdin.buffer.read(MOST_BYTES + 1)
        with Path(name).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as failure:
        if Path(name).is_dir():
            raise Refusal("not-found", "There is no .json file in this folder or below.") from None
        raise Refusal("not-found", f"The file cannot be read: {failure.strerror or failure}.") from None
