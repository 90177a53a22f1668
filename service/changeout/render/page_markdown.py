"""A page as Markdown (CommonMark with tables). All text is escaped: no markup and no raw HTML of a caller survives."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final

from changeout.render.page import (
    Block,
    Card,
    Cell,
    Checks,
    Fields,
    Item,
    Items,
    Page,
    Paragraph,
    Picture,
    Section,
    Signature,
    Table,
    Words,
)
from changeout.render.safe_text import printable

_MARKUP: Final = re.compile(r"[\\`*_\[\]|~$]")
_AS_ENTITIES: Final = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})
_LINKS: Final = re.compile(r"(?i)\b(https?|ftp|mailto|xmpp)(?=:)|\bwww(?=\.)")
_FIRST: Final = re.compile(r"^(?:([#+\-=])|(\d{1,9})([.)])(?=\s|$))")
_MOST_LEVELS: Final = 6
_COVERED: Final = '"'
"""What a cell says that one above covers."""

_HOLDERS: Final = {"plain": "{}", "lead": "**{}**", "label": "**{}**", "note": "{}", "caution": "**Caution:** {}"}


def page_markdown(page: Page) -> str:
    """Return the page as Markdown that ends with a line break."""
    lines = [f"# {markdown_text(page.title)}"]
    for block in page.blocks:
        lines += ["", *_block(block, 2)]
    if page.footer:
        lines += ["", "---", "", _words(page.footer)]
    return "\n".join(lines) + "\n"


def markdown_text(text: str) -> str:
    """Return *text* as Markdown that shows just this text, in one line, whatever it says."""
    shown = _MARKUP.sub(r"\\\g<0>", printable(text).translate(_AS_ENTITIES))
    return _FIRST.sub(_not_first, _LINKS.sub(r"\g<0>\\", shown))


def _not_first(found: re.Match[str]) -> str:
    return f"\\{found[1]}" if found[1] else f"{found[2]}\\{found[3]}"


def _words(words: Words) -> str:
    if isinstance(words, str):
        return markdown_text(words)
    return "".join(_inline(part, is_first=place == 0) for place, part in enumerate(words))


def _inline(part: Any, *, is_first: bool) -> str:  # noqa: ANN401 - one of the kinds of words
    if isinstance(part, str):
        # Space at the ends holds the parts apart; a part that is not the first begins no line.
        inner = markdown_text(part) if is_first else markdown_text(f"x{part}")[1:]
        return f"{' ' if part[:1].isspace() and is_first else ''}{inner}{' ' if part[-1:].isspace() else ''}"
    if part.kind == "strong":
        return f"**{markdown_text(part.text)}**"
    if part.kind == "code":
        return _code(printable(part.text))
    return str(part.text)


def _code(text: str) -> str:
    # A table would split a cell at a bar even inside a code span, and quotes of backticks need longer fences.
    if not text or "`" in text or "|" in text:
        return markdown_text(text)
    return f"`{text}`"


def _block(block: Block, level: int) -> list[str]:
    return list(_WRITERS[block.kind](block, level))


def _paragraph(block: Paragraph, _: int) -> Iterator[str]:
    yield _HOLDERS[block.tone].format(_words(block.words))


def _items(block: Items, level: int) -> Iterator[str]:
    for number, item in enumerate(block.items, 1):
        yield from _item(f"{number}. " if block.numbered else "- ", item, level)


def _checks(block: Checks, level: int) -> Iterator[str]:
    for item in block.items:
        yield from _item("- [ ] ", item, level)


def _item(mark: str, item: Item, level: int) -> Iterator[str]:
    yield f"{mark}{_words(item.words)}"
    indent = " " * (2 if mark.startswith("-") else len(mark))
    for block in item.below:
        if not isinstance(block, Items | Checks):
            yield ""
        for line in _block(block, level):
            yield f"{indent}{line}" if line else ""


def _fields(block: Fields, _: int) -> Iterator[str]:
    for name, value in block.rows:
        yield f"- **{markdown_text(name)}:** {_words(value)}"


def _table(block: Table, _: int) -> Iterator[str]:
    if block.caption:
        yield f"**{markdown_text(block.caption)}**"
        yield ""
    yield _row([markdown_text(column) for column in block.columns])
    numbers = _number_columns(block)
    yield _row(["--:" if place in numbers else "---" for place in range(len(block.columns))])
    covered = [0] * len(block.columns)
    for row in block.rows:
        yield _row(_cells(row, covered))


def _number_columns(block: Table) -> set[int]:
    first = block.rows[0] if block.rows else ()
    return {place for place, cell in enumerate(first) if cell.number}


def _cells(row: tuple[Cell, ...], covered: list[int]) -> list[str]:
    """Return the cells of a row, with a sign where one above covers; *covered* counts the rows still to come."""
    given, cells = iter(row), []
    for place, left in enumerate(covered):
        if left:
            covered[place] -= 1
            cells.append(_COVERED)
            continue
        cell = next(given)
        covered[place] = cell.rows - 1
        cells.append(_words(cell.words))
    return cells


def _row(cells: list[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _card(block: Card, level: int) -> Iterator[str]:
    label = f"{markdown_text(block.label)}: " if block.label else ""
    aside = f" ({markdown_text(block.aside)})" if block.aside else ""
    yield f"{_heading(level)} {label}{markdown_text(block.title)}{aside}"
    for inner in block.blocks:
        yield from ("", *_block(inner, level + 1))


def _section(block: Section, level: int) -> Iterator[str]:
    if block.folded:
        yield from ("<details>", f"<summary>{html.escape(printable(block.title))}</summary>")
    else:
        yield f"{_heading(level)} {markdown_text(block.title)}"
    for inner in block.blocks:
        yield from ("", *_block(inner, level + 1))
    if block.folded:
        yield from ("", "</details>")


def _picture(_: Picture, __: int) -> Iterator[str]:
    yield from ()


def _signature(block: Signature, _: int) -> Iterator[str]:
    for name in block.names:
        yield f"- {markdown_text(name)}: ________________"


def _heading(level: int) -> str:
    return "#" * min(level, _MOST_LEVELS)


_WRITERS: Final[Mapping[str, Callable[[Any, int], Iterator[str]]]] = {
    "paragraph": _paragraph,
    "items": _items,
    "checks": _checks,
    "fields": _fields,
    "table": _table,
    "card": _card,
    "section": _section,
    "picture": _picture,
    "signature": _signature,
}
