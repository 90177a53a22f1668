"""A calculation as text: its result, and a table of its steps with aligned columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from changeout.render.figures import number_text
from changeout.render.text import plain

_WIDTH: Final = 120
_LEAST_COLUMN: Final = 12
_GAP: Final = "  "
_STEP_COLUMNS: Final = ("symbol", "name", "expression", "value", "source")
_RESULT_COLUMNS: Final = ("at", "name", "value")


def calculation_text(page: Mapping[str, Any]) -> str:
    """Return a calculation, given as it is in JSON, as lines of text without a newline at the end.

    A cell that is too long goes on below, in its column.
    """
    return "\n".join(_lines(page))


def _lines(page: Mapping[str, Any]) -> Iterator[str]:
    yield f"{plain(page['title'])}: {_amount(page['result'])}"
    if page["results"]:
        yield ""
        yield from _table(_RESULT_COLUMNS, [(r["at"], r["name"], _amount(r)) for r in page["results"]])
    yield ""
    yield from _table(_STEP_COLUMNS, [_step_cells(step) for step in page["steps"]])
    for name in ("assumptions", "cautions", "missing"):
        if page[name]:
            yield ""
            yield f"{name.capitalize()}:"
            for sentence in page[name]:
                yield from _wrapped(sentence)


def _step_cells(step: Mapping[str, Any]) -> tuple[str, ...]:
    value = _amount(step)
    alone = number_text(step["value"]).replace(",", "") if step["value"] is not None else None
    expression = "" if step["expression"] == alone else step["expression"]
    return step["symbol"], step["name"], expression, value, step["source"]


def _amount(number: Mapping[str, Any]) -> str:
    """Return a number with its unit; nothing for a line that is words."""
    low, high, unit = number["low"], number["high"], f" {number['unit']}".rstrip()
    if low is None:
        return "no known bound" if unit else ""
    if high is None:
        return f"{number_text(low)}{unit} or more"
    if low == high:
        return f"{number_text(low)}{unit}"
    return f"{number_text(low)} to {number_text(high)}{unit}"


def _table(columns: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    written = [[plain(cell) for cell in row] for row in rows]
    widths = _widths([list(columns), *written])
    yield _row(columns, widths)
    yield _row(["-" * width for width in widths], widths)
    for row in written:
        cells = [textwrap.wrap(cell, width) or [""] for cell, width in zip(row, widths, strict=True)]
        for place in range(max(map(len, cells))):
            yield _row([cell[place] if place < len(cell) else "" for cell in cells], widths)


def _widths(rows: Sequence[Sequence[str]]) -> list[int]:
    """Return the widths of the columns: as their longest cell, the widest made narrower until a line fits."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    while sum(widths) + len(_GAP) * (len(widths) - 1) > _WIDTH and max(widths) > _LEAST_COLUMN:
        widths[widths.index(max(widths))] -= 1
    return widths


def _row(cells: Sequence[str], widths: Sequence[int]) -> str:
    return _GAP.join(f"{cell:<{width}}" for cell, width in zip(cells, widths, strict=True)).rstrip()


def _wrapped(sentence: str) -> list[str]:
    return textwrap.wrap(
        plain(sentence), width=_WIDTH, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False
    )
