"""What a page is made of, before it is HTML or Markdown. All text is plain; each writer escapes it in one place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Final, TypeAlias

BLANK_LINE: Final = "________"
"""What stands where a fact is unknown and is to be written by hand."""


@dataclass(frozen=True, slots=True)
class Strong:
    """Words that stand out."""

    text: str
    kind: ClassVar[str] = "strong"


@dataclass(frozen=True, slots=True)
class Code:
    """A name from a document: a pointer, a rule, a digest."""

    text: str
    kind: ClassVar[str] = "code"


@dataclass(frozen=True, slots=True)
class Blank:
    """A place to write in by hand."""

    kind: ClassVar[str] = "blank"
    text: ClassVar[str] = BLANK_LINE


Words: TypeAlias = str | tuple[str | Strong | Code | Blank, ...]


def or_blank(text: str | None) -> Words:
    """Return *text*, or a blank where there is none."""
    return (Blank(),) if text is None else text


def joined(*parts: Words | Strong | Code | Blank) -> Words:
    """Return all *parts* one after the other."""
    return tuple(one for part in parts for one in (part if isinstance(part, tuple) else (part,)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """A paragraph; *tone* is plain, lead, caution, note or label (large print to be read from afar)."""

    words: Words
    tone: str = "plain"
    kind: ClassVar[str] = "paragraph"


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """An entry of a list, and what stands below it."""

    words: Words
    below: tuple[Block, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Items:
    """A list."""

    items: tuple[Item, ...]
    numbered: bool = False
    kind: ClassVar[str] = "items"


@dataclass(frozen=True, slots=True, kw_only=True)
class Checks:
    """A list to be ticked off."""

    items: tuple[Item, ...]
    kind: ClassVar[str] = "checks"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fields:
    """Names and values."""

    rows: tuple[tuple[str, Words], ...]
    kind: ClassVar[str] = "fields"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A cell of a table; *rows* is how many rows it covers, *header* whether it heads its row."""

    words: Words
    rows: int = 1
    header: bool = False
    number: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; a row has no cell where one above covers it. *look* picks a style of its own."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    look: str = "plain"
    kind: ClassVar[str] = "table"


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A finding, or several of one rule: *tone* is its outcome, *label* says it in words, *aside* is the section."""

    tone: str
    label: str
    title: str
    aside: str
    blocks: tuple[Block, ...]
    kind: ClassVar[str] = "card"


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A part of a page with a heading. *folded* is empty, ``open`` or ``closed``.

    *new_sheet* begins one in print, unless the part is closed: then print has its heading only.
    """

    title: str
    blocks: tuple[Block, ...]
    folded: str = ""
    new_sheet: bool = False
    kind: ClassVar[str] = "section"


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing as SVG with its own text alternative; only HTML has it."""

    svg: str
    caption: str
    kind: ClassVar[str] = "picture"


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """Lines to sign on."""

    names: tuple[str, ...]
    kind: ClassVar[str] = "signature"


Block: TypeAlias = Paragraph | Items | Checks | Fields | Table | Card | Section | Picture | Signature


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A whole page: its title, its parts, and what stands at its end on every kind of paper."""

    title: str
    blocks: tuple[Block, ...]
    footer: Words = ""


def items(texts: Sequence[Words], *, numbered: bool = False) -> Items:
    """Return a list of plain entries."""
    return Items(items=tuple(Item(words=text) for text in texts), numbered=numbered)


def table(
    caption: str, columns: Sequence[str], rows: Sequence[Sequence[Words]], *, numbers: Sequence[int] = ()
) -> Table:
    """Return a table whose first column heads its rows; *numbers* are the columns set as numbers."""
    return Table(
        caption=caption,
        columns=tuple(columns),
        rows=tuple(
            tuple(Cell(words=words, header=place == 0, number=place in numbers) for place, words in enumerate(row))
            for row in rows
        ),
    )
