"""The pages under /docs, made once at start: the interface to try, the packaged documentation, the problems."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from itertools import pairwise
from typing import Final

from jinja2 import Environment, StrictUndefined
from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from changeout.domain.problems import ERRORS, PROBLEMS

INTERFACE: Final = "interface"
_TITLES: Final = {"problems": "Problems"}


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
        (viewer, "swagger-ui-bundle.js", script),
        (viewer, "swagger-ui.css", style),
        (viewer, "favicon-32x32.png", "image/png"),
    )
    return {
        name: Asset(content=(folder / name).read_bytes(), media_type=media_type) for folder, name, media_type in wanted
    }


def made_pages() -> dict[str, bytes]:
    """Return every page by the last part of its address; the empty name is /docs itself."""
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    templates = files("changeout.web") / "templates"
    frame = environment.from_string((templates / "page.html").read_text("utf-8"))
    problems = environment.from_string((templates / "problems.html").read_text("utf-8"))
    bodies: dict[str, tuple[str, Markup]] = {
        source.name.removesuffix(".md"): _from_markdown(source.read_text("utf-8")) for source in _sources()
    }
    bodies["problems"] = "Problems", Markup(problems.render(problems=PROBLEMS.values(), errors=ERRORS))  # noqa: S704
    links = sorted((name, title) for name, (title, _) in bodies.items())
    pages = {
        name: frame.render(title=title, content=content, links=links, interactive=False)
        for name, (title, content) in bodies.items()
    }
    pages[""] = frame.render(title="The interface", content="", links=links, interactive=True)
    return {name: page.encode() for name, page in pages.items()}


def _sources() -> list[Traversable]:
    return sorted(
        (entry for entry in files("changeout.docs").iterdir() if entry.name.endswith(".md")),
        key=lambda entry: entry.name,
    )


def _from_markdown(text: str) -> tuple[str, Markup]:
    """Return the title (the first heading) and the content; raw HTML in *text* comes out as text."""
    reader = MarkdownIt("commonmark", {"html": False}).enable("table")
    tokens = reader.parse(text)
    title = ""
    for opening, inline in pairwise(tokens):
        if opening.type == "heading_open":
            opening.attrSet("id", _anchor(inline))
            title = title or inline.content
    content = reader.renderer.render(tokens, reader.options, {})
    return title, Markup(content)  # noqa: S704 (the renderer escapes all that the source says)


def _anchor(heading: Token) -> str:
    words = "".join(c if c.isalnum() else " " for c in heading.content.lower()).split()
    return "-".join(words)
