"""A drawing as SVG: shapes and text by class, measured without a font, with a text alternative and no script."""

from __future__ import annotations

import re
import unicodedata
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files
from typing import Final

from changeout.render.safe_text import printable

TEXT_SIZE: Final = 13.0
"""Size of text in drawing units, unless another is given."""

LINE_HEIGHT: Final = 1.35
"""From one line of text to the next, in sizes of the text."""

_SMALL: Final = 0.85
_WITH_UNIT: Final = re.compile(r"(\d) (A|VA|kVA|MVA|V|ft|in|Ω|%)(?![\w])")
_WIDE: Final = 1.0
_CAPITAL: Final = 0.75
_NARROW: Final = 0.42
_USUAL: Final = 0.64
_BOLD: Final = 1.12
_NARROW_CHARACTERS: Final = frozenset(" .,:;'|!()[]fijlrtI-/\"")
_BROADEST: Final = frozenset("mwMW@%—…")
"""Widths of characters in sizes of the text: on the wide side of common sans-serif faces, so that text fits."""


def text_width(text: str, size: float = TEXT_SIZE) -> float:
    """Return about how wide *text* is, rather too much than too little."""
    return size * sum(map(_character, text))


def wrapped(text: str, width: float, look: str = "", most: int | None = None) -> list[str]:
    """Return *text* in lines no wider than *width* in this *look*; longer words are broken, numbers keep their units.

    At *most* so many lines, the last cut short.
    """
    size = size_of(look) * (_BOLD if "strong" in look.split() else 1.0)
    lines: list[str] = [""]
    for word in _pieces(printable(text), width, size):
        longer = f"{lines[-1]} {word}".strip()
        if text_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    lines = [line for line in lines if line] or [""]
    if most is not None and len(lines) > most:
        lines = [*lines[: most - 1], _cut(" ".join(lines[most - 1 :]), width, size)]
    return lines


def _pieces(text: str, width: float, size: float) -> Iterator[str]:
    for word in _WITH_UNIT.sub("\\1\u00a0\\2", text).split(" "):
        piece = ""
        for character in word:
            if piece and text_width(piece + character, size) > width:
                yield piece
                piece = ""
            piece += character
        yield piece


def size_of(look: str) -> float:
    """Return the size of text in this *look*."""
    return TEXT_SIZE * (_SMALL if "small" in look.split() else 1.0)


def _cut(text: str, width: float, size: float) -> str:
    while text and text_width(f"{text}…", size) > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


def _character(character: str) -> float:
    if unicodedata.east_asian_width(character) in {"W", "F"}:
        return _WIDE
    if unicodedata.combining(character):
        return 0.0
    if character in _BROADEST:
        return _WIDE
    if character in _NARROW_CHARACTERS:
        return _NARROW
    return _CAPITAL if character.isupper() else _USUAL


class Drawing:
    """A drawing that grows downwards. Coordinates are in its own units, from the upper left corner."""

    def __init__(self, name: str, width: float) -> None:
        """Begin a drawing; *name* is unique on a page."""
        self.name = name
        self.width = width
        self.height = 0.0
        self._shapes: list[ET.Element] = []

    def line(self, x1: float, y1: float, x2: float, y2: float, look: str = "wire") -> None:
        """Draw a straight line."""
        self._add("line", look, max(y1, y2), x1=x1, y1=y1, x2=x2, y2=y2)

    def box(self, corner: tuple[float, float], width: float, height: float, look: str = "box") -> None:
        """Draw a rectangle from its upper left corner."""
        x, y = corner
        self._add("rect", look, y + height, x=x, y=y, width=max(width, 0.0), height=height)

    def dot(self, x: float, y: float, radius: float, look: str = "dot") -> None:
        """Draw a circle."""
        self._add("circle", look, y + radius, cx=x, cy=y, r=radius)

    def path(self, steps: str, lowest: float, look: str = "wire") -> None:
        """Draw a path; *lowest* is how far down it reaches."""
        self._add("path", look, lowest, d=steps)

    def text(self, x: float, y: float, text: str, look: str = "", *, anchor: str = "start") -> None:
        """Write one line with its base at *y*; *anchor* is start, middle or end."""
        size = size_of(look)
        shape = self._add("text", f"text {look}".strip(), y + size * 0.3, x=x, y=y)
        shape.set("text-anchor", anchor)
        shape.text = printable(text)

    def lines(self, x: float, y: float, lines: Sequence[str], look: str = "") -> float:
        """Write lines one under the other, the first with its base at *y*; return the base of a next one."""
        size = size_of(look)
        for line in lines:
            self.text(x, y, line, look)
            y += size * LINE_HEIGHT
        return y

    def svg(self, title: str, description: str, *, stands_alone: bool = False) -> str:
        """Return the drawing as an SVG element; one that *stands_alone* brings its style along."""
        height = self.height + TEXT_SIZE / 2
        root = ET.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "class": "picture",
                "viewBox": f"0 0 {_number(self.width)} {_number(height)}",
                "width": _number(self.width),
                "height": _number(height),
                "role": "img",
                "aria-labelledby": f"{self.name}-title {self.name}-description",
            },
        )
        ET.SubElement(root, "title", {"id": f"{self.name}-title"}).text = printable(title)
        ET.SubElement(root, "desc", {"id": f"{self.name}-description"}).text = printable(description)
        if stands_alone:
            ET.SubElement(root, "style").text = _style()
        root.extend(self._shapes)
        return ET.tostring(root, encoding="unicode")

    def _add(self, tag: str, look: str, lowest: float, **places: float | str) -> ET.Element:
        self.height = max(self.height, lowest)
        values = {name: value if isinstance(value, str) else _number(value) for name, value in places.items()}
        shape = ET.Element(tag, {"class": look, **values})
        self._shapes.append(shape)
        return shape


@cache
def _style() -> str:
    return (files("changeout.render") / "templates" / "pictures.css").read_text("utf-8")


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
