"""Many proposals in one request, one a line; one report or problem a line out, in the same order, as they come.

Once the answer has begun nothing may be raised: whatever is wrong becomes a line. A caller who goes away closes the
answer, and with it the reading and the judging.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import IO, Final

from changeout.domain.problems import Refusal
from changeout.intake.reader import MOST_BYTES

NDJSON: Final = "application/x-ndjson"
_BLANK: Final = b" \t\r\n"
_SKIPPED_AT_ONCE: Final = 64 * 1024


@dataclass(slots=True, kw_only=True)
class Lines:
    """A request's body that is read line by line. *announced* is its length, if it has one.

    A line counts only when all of it has come, so the last one is refused where the body broke off.
    """

    stream: IO[bytes]
    announced: int | None
    _received: int = 0

    def __iter__(self) -> Iterator[bytes | Refusal]:
        """Yield each line that is not blank, or why it cannot be taken; after a body that broke off, nothing more."""
        while True:
            try:
                line = self._line()
            except Refusal as broken:
                yield broken
                return
            if line == b"":
                return
            if isinstance(line, Refusal):
                yield line
            elif line.strip(_BLANK):
                yield line.rstrip(b"\r\n")

    def _line(self) -> bytes | Refusal:
        """Return the next line, empty at the end.

        Raises:
            Refusal: ``body-truncated``.
        """
        line = self._read(MOST_BYTES + 1)
        if line.endswith(b"\n"):
            return line
        if len(line) <= MOST_BYTES:
            self._check_whole()
            return line
        while line and not line.endswith(b"\n"):
            line = self._read(_SKIPPED_AT_ONCE)
        return Refusal("body-too-large", f"A line may have {MOST_BYTES:,} bytes; this one was passed over.")

    def _read(self, most: int) -> bytes:
        try:
            line = self.stream.readline(most)
        except Exception as broken:
            # The server's own stream errors have no common base: whatever breaks while reading, the line is not whole.
            raise _truncated() from broken
        self._received += len(line)
        return line

    def _check_whole(self) -> None:
        if self.announced is not None and self._received < self.announced:
            raise _truncated()


def answers(
    lines: Iterator[bytes | Refusal],
    judged: Callable[[bytes], bytes],
    refused: Callable[[Exception], bytes],
    most: int,
) -> Iterator[bytes]:
    """Yield the answer to each of the first *most* lines, and a last one if there are more.

    *judged* returns a report; what it raises, and what is wrong with a line, *refused* turns into a problem. Neither
    ends in a line break.
    """
    for number, line in enumerate(lines):
        if number == most:
            told = Refusal("too-many-lines", f"A batch may have {most:,} lines; from here on none was judged.")
            yield refused(told) + b"\n"
            return
        yield _answer(line, judged, refused) + b"\n"


def _answer(line: bytes | Refusal, judged: Callable[[bytes], bytes], refused: Callable[[Exception], bytes]) -> bytes:
    if isinstance(line, Refusal):
        return refused(line)
    try:
        return judged(line)
    except Exception as fault:  # noqa: BLE001 (the answer has begun: a fault is logged and told of in its line)
        return refused(fault)


def _truncated() -> Refusal:
    return Refusal("body-truncated", "The body ended before this line was complete; send the rest again.")
