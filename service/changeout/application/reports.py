"""A report in every form it is given in, by media type. A further form is a further row."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from changeout.application.judgement import Judgement
from changeout.render.html import report_html
from changeout.render.junit import junit_bytes
from changeout.render.markdown import report_markdown
from changeout.render.report_json import report_bytes
from changeout.render.sarif import sarif_bytes
from changeout.render.text import report_text

NAMELESS: Final = "proposal.json"
"""What a proposal is called, in forms that name files, that came without a name."""


def _json(judged: Judgement) -> bytes:
    return report_bytes(judged.report)


def _plain_text(judged: Judgement) -> bytes:
    return report_text(judged.report, judged.read.proposal, colour=False).encode()


def _markdown(judged: Judgement) -> bytes:
    return report_markdown(judged.report, judged.read.proposal).encode()


def _html(judged: Judgement) -> bytes:
    return report_html(judged.report, judged.read.proposal).encode()


def _sarif(judged: Judgement) -> bytes:
    return sarif_bytes([judged.located(NAMELESS)])


def _junit(judged: Judgement) -> bytes:
    return junit_bytes([judged.located(NAMELESS)])


REPORT_FORMS: Final[Mapping[str, Callable[[Judgement], bytes]]] = {
    "application/json": _json,
    "application/sarif+json": _sarif,
    "application/junit+xml": _junit,
    "text/markdown": _markdown,
    "text/html": _html,
    "text/plain": _plain_text,
}
"""The media types of a report, and how it is written in each; JSON is what is sent where any is accepted."""
