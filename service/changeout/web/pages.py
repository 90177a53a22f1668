"""The pages under /docs: the interface to try, the packaged documentation, the problems. Each is made once."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from itertools import pairwise
from typing import Final

from jinja2 import Environment, StrictUndefined, Template
from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from changeout.domain.problems import ERRORS, PROBLEMS

_INDEX: Final = "index"
_PAGE: Final = re.compile(r"^([a-z-]+)\.md(?=#|$)")
_COMMENT: Final = re.compile(r"^<!--.*?-->$", re.MULTILINE)
_LINK: Final = re.compile(r"^- \[(?P<words>[^]]+)\]\((?P<page>[a-z-]+)\.md\)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asset:
    """A file that pages refer to."""

    content: bytes
    media_type: str


@cache
def assets() -> Mapping[str, Asset]:
    """Return the files served under /docs/assets: our own, and those of the packaged interface viewer."""
    own = files("changeout.web") / "static"
    viewer = files("flask_swagger_ui") / "dist"
    script, style = "text/javascript; charset=utf-8", "text/css; charset=utf-8"
    wanted = (
        (own, "pages.css", style),
        (own, "interface.js", script),
        (own, "review.css", style),
        (own, "review.js", script),
        (files("changeout.render") / "templates", "pictures.css", style),
        (viewer, "swagger-ui-bundle.js", script),
        (viewer, "swagger-ui.css", style),
        (viewer, "favicon-32x32.png", "image/png"),
    )
    return {
        name: Asset(content=(folder / name).read_bytes(), media_type=media_type) for folder, name, media_type in wanted
    }


@cache
def titles() -> Mapping[str, str]:
    """Return the title of every page by the last part of its address; the empty name is /docs itself."""
    return {"": "The interface", "problems": "Problems"} | {
        name: source.read_text("utf-8").partition("\n")[0].removeprefix("# ") for name, source in _sources().items()
    }


@cache
def page(name: str) -> bytes:
    """Return a page, made when it is first asked for.

    Raises:
        KeyError: if there is no such page.
    """
    title = titles()[name]
    return (
        _template("page").render(title=title, content=_content(name), groups=_contents(), interactive=not name).encode()
    )


def _contents() -> Mapping[str, Sequence[tuple[str, str]]]:
    """Return the pages in the order of the page "index": under each of its headings, names and words of its links."""
    found: dict[str, list[tuple[str, str]]] = {}
    for line in _sources()[_INDEX].read_text("utf-8").splitlines():
        if line.startswith("## "):
            found[line.removeprefix("## ")] = []
        elif link := _LINK.search(line):
            found[next(reversed(found))].append((link["page"], link["words"]))
    return found


def _content(name: str) -> Markup:
    if name == "problems":
        return Markup(_template("problems").render(problems=PROBLEMS.values(), errors=ERRORS))  # noqa: S704
    return _from_markdown(_sources()[name].read_text("utf-8")) if name else Markup("")


def _template(name: str) -> Template:
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return environment.from_string((files("changeout.web") / "templates" / f"{name}.html").read_text("utf-8"))


def _sources() -> dict[str, Traversable]:
    every = (entry for entry in files("changeout.docs").iterdir() if entry.name.endswith(".md"))
    return {entry.name.removesuffix(".md"): entry for entry in sorted(every, key=lambda entry: entry.name)}


def _from_markdown(text: str) -> Markup:
    """Return the content of a page; a comment on lines of its own is left out, other raw HTML comes out as text."""
    reader = MarkdownIt("commonmark", {"html": False}).enable("table")
    tokens = reader.parse(_COMMENT.sub("", text))
    for opening, inline in pairwise(tokens):
        if opening.type == "heading_open":
            opening.attrSet("id", _anchor(inline))
        for link in inline.children or ():
            if link.type == "link_open":
                # On a code host a page leads to its neighbour's file, here to where that is served.
                link.attrSet("href", _PAGE.sub(r"/docs/\1", str(link.attrGet("href"))))
    return Markup(reader.renderer.render(tokens, reader.options, {}))  # noqa: S704 (it escapes all the source says)


def _anchor(heading: Token) -> str:
    words = "".join(c if c.isalnum() else " " for c in heading.content.lower()).split()
    return "-".join(words)
