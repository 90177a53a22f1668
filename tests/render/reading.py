"""Readers of what was rendered, none of them ours: HTML by the parser of the standard, Markdown by its own."""

import html5lib
from markdown_it import MarkdownIt

HTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"


def html_tree(text):
    """The document as a tree; any parse error of the HTML standard raises."""
    return html5lib.HTMLParser(strict=True).parse(text)


def tag(element):
    """The name of an element without its namespace."""
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else "comment"


def elements(tree):
    """All elements, comments left out."""
    return [element for element in tree.iter() if isinstance(element.tag, str)]


def text_of(element):
    """All text within an element, spaces as one."""
    return " ".join("".join(element.itertext()).split())


def markdown_tree(text):
    """The tree of what CommonMark with tables makes of a text, raw HTML let through as most sites do."""
    made = MarkdownIt("commonmark", {"html": True}).enable("table").enable("strikethrough").render(text)
    return html5lib.HTMLParser().parseFragment(made)
