"""How many requests are judged at once: a few judge, some more wait, the rest is told to come back."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from changeout.domain.problems import Refusal

_COME_BACK_S: Final = "1"


class Gate:
    """Lets *at_once* requests judge, and *waiting* more wait for up to *patience_s* seconds."""

    def __init__(self, *, at_once: int, waiting: int, patience_s: float) -> None:
        """Open the gate; each worker process has its own."""
        self._judging = threading.BoundedSemaphore(at_once)
        self._inside = threading.BoundedSemaphore(at_once + waiting)
        self._patience_s = patience_s

    @contextmanager
    def passed(self) -> Iterator[None]:
        """Hold a place while a request is judged.

        Raises:
            Refusal: ``overloaded``, with ``Retry-After``, if too many wait already or the wait is too long.
        """
        if not self._inside.acquire(blocking=False):
            raise _overloaded()
        try:
            if not self._judging.acquire(timeout=self._patience_s):
                raise _overloaded()
            try:
                yield
            finally:
                self._judging.release()
        finally:
            self._inside.release()

    @contextmanager
    def passed_in_turn(self) -> Iterator[None]:
        """Hold a place while a line of a batch is judged, waiting for as long as it takes: its answer has begun."""
        with self._judging:
            yield


def _overloaded() -> Refusal:
    detail = f"Others are being judged; send the same request again in {_COME_BACK_S} s."
    return Refusal("overloaded", detail, headers=(("Retry-After", _COME_BACK_S),))
