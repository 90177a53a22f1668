"""The files in which worker processes count together: where they are, and that writing into them cannot fail.

The client library maps them into memory. A page of such a file for which the disk has no room would end the process
that touches it, so a worker's room is taken before it starts; without room, it counts alone.
"""

from __future__ import annotations

import importlib
import os
import shutil
import sys
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

FOLDER_VARIABLE: Final = "PROMETHEUS_MULTIPROC_DIR"
_SHARED_MEMORY: Final = "/dev/shm"  # noqa: S108 (the files belong in memory, not on a disk that may be full)
_KINDS: Final = ("counter", "histogram")
_ROOM_BYTES: Final = 512 * 1024
"""More than every label that there can be takes, for each kind of meter."""

_USED_BYTES: Final = 4
"""A file begins with how much of it is used, as a number of so many bytes."""


def made_folder(environment: Mapping[str, str]) -> str | None:
    """Make a folder for the files and return its name, or None where nothing can be written."""
    for parent in (environment.get("TMPDIR"), _SHARED_MEMORY, None):
        if parent is None or Path(parent).is_dir():
            with suppress(OSError):
                return tempfile.mkdtemp(prefix="changeout-meters-", dir=parent)
    return None


def remove_folder(folder: str) -> None:
    """Remove the folder and all in it; if that cannot be, it stays."""
    shutil.rmtree(folder, ignore_errors=True)


def post_fork(_server: Any, worker: Any) -> None:  # noqa: ANN401 - gunicorn's arbiter and worker
    """Take the room in which a new worker counts, or let it count alone."""
    folder = os.environ.get(FOLDER_VARIABLE)
    if folder is None:
        return
    try:
        for kind in _KINDS:
            _take_room(Path(folder) / f"{kind}_{worker.pid}.db")
    except OSError as lacking:
        worker.log.warning("No room for shared meters, this worker counts alone: %s", lacking)
        del os.environ[FOLDER_VARIABLE]
        # Loaded by the application already; the command itself does without it.
        values: Any = importlib.import_module("prometheus_client.values")
        values.ValueClass = values.MutexValue


def child_exit(_server: Any, worker: Any) -> None:  # noqa: ANN401 - gunicorn's arbiter and worker
    """Keep what a worker that ended has counted, in no more room than that takes."""
    folder = os.environ.get(FOLDER_VARIABLE)
    if folder is None:
        return
    for kind in _KINDS:
        with suppress(OSError):
            _give_room_back(Path(folder) / f"{kind}_{worker.pid}.db")


def _take_room(file: Path) -> None:
    """Make a file of its full size, every byte of it on the disk.

    Raises:
        OSError: if there is no room; then there is no file either.
    """
    descriptor = os.open(file, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        os.posix_fallocate(descriptor, 0, _ROOM_BYTES)
    except OSError:
        file.unlink()
        raise
    finally:
        os.close(descriptor)


def _give_room_back(file: Path) -> None:
    with file.open("rb") as opened:
        used = int.from_bytes(opened.read(_USED_BYTES), sys.byteorder)
    if used <= 2 * _USED_BYTES:
        file.unlink()
    else:
        os.truncate(file, used)
