"""Which of the files that a command is given have changed since it last looked."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Final

from changeout.cli.files import expanded

_PAUSE_S: Final = 0.5
_Seen = tuple[int, int] | None


def rounds(
    arguments: Sequence[str], sleep: Callable[[float], None] = time.sleep
) -> Iterator[tuple[list[str], list[str]]]:
    """Yield all files and those to judge: at first all, then, after each change, the ones that are new or changed.

    Folders and patterns are looked through again each time. Ends only when the caller stops asking.
    """
    seen: dict[str, _Seen] = {}
    while True:
        now = {name: _state(name) for name in expanded(arguments)}
        changed = [name for name, state in now.items() if name not in seen or seen[name] != state]
        if changed or set(now) != set(seen):
            yield list(now), changed
        seen = now
        sleep(_PAUSE_S)


def _state(name: str) -> _Seen:
    try:
        found = Path(name).stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size
