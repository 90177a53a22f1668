"""A page as a stand-alone HTML document, letter size in print, dark or light as the reader has it. No script."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from typing import Any, Final

from jinja2 import DictLoader, Environment, StrictUndefined, Template
from markupsafe import Markup

from changeout.render.page import Blank, Block, Code, Page, Strong, Words
from changeout.render.safe_text import printable

STYLE_NAMES: Final = ("page.css", "pictures.css")
"""The packaged files that a page is styled by, in order."""


def page_html(page: Page, *, style_address: str | None = None) -> str:
    """Return the page as HTML.

    Its style is written into it, so that it stands alone: allow ``style_hash()`` in a content security policy. With
    *style_address* it is referred to there instead (serve ``style()``).
    """
    return _template("page.html").render(
        page=page,
        style=None if style_address else Markup(style()),  # noqa: S704 - a packaged file of ours
        style_address=style_address,
    )


@cache
def style() -> str:
    """Return the style sheet of pages and pictures. It holds no ``<``, so it may stand in an HTML document."""
    folder = files("changeout.render") / "templates"
    return "".join((folder / name).read_text("utf-8") for name in STYLE_NAMES)


@cache
def style_hash() -> str:
    """Return what a content security policy's ``style-src`` must have to allow the style written into a page."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(style().encode()).digest()).decode()}'"


def blocks_html(blocks: Sequence[Block], *, level: int) -> str:
    """Return blocks as HTML that stands within another page, their headings from *level* down."""
    macros: Any = _template("blocks.html").module
    return str(macros.each(tuple(blocks), level))


@cache
def _template(name: str) -> Template:
    folder = files("changeout.render") / "templates"
    sources = {source: (folder / source).read_text("utf-8") for source in ("page.html", "blocks.html")}
    environment = Environment(
        loader=DictLoader(sources), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.globals.update(words=_parts, shown=printable)
    return environment.get_template(name)


def _parts(words: Words) -> tuple[tuple[str, str], ...]:
    """Return the kind and text of each part of *words*; the template escapes them."""
    parts = (words,) if isinstance(words, str) else words
    return tuple(_part(part) for part in parts)


def _part(part: str | Strong | Code | Blank) -> tuple[str, str]:
    if isinstance(part, str):
        # Space at the ends holds the parts apart.
        return "plain", f"{' ' * part[:1].isspace()}{printable(part)}{' ' * part[-1:].isspace()}"
    return part.kind, printable(part.text)
