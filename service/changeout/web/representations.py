"""The forms in which a report is given over HTTP. A further form is a further row."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from changeout.application.judgement import Judgement
from changeout.render.html import report_html
from changeout.render.junit import junit_bytes
from changeout.render.markdown import report_markdown
from changeout.render.report_json import report_bytes
from changeout.render.sarif import sarif_bytes
from changeout.render.text import report_text
from changeout.web.call import JSON

_FILE: Final = "proposal.json"
"""What the proposal is called in forms that name files: the body of a request has no name."""


def _json(judged: Judgement) -> bytes:
    return report_bytes(judged.report)


def _plain_text(judged: Judgement) -> bytes:
    return report_text(judged.report, colour=False).encode()


def _markdown(judged: Judgement) -> bytes:
    return report_markdown(judged.report, judged.read.proposal).encode()


def _html(judged: Judgement) -> bytes:
    return report_html(judged.report, judged.read.proposal).encode()


def _sarif(judged: Judgement) -> bytes:
    return sarif_bytes([judged.located(_FILE)])


def _junit(judged: Judgement) -> bytes:
    return junit_bytes([judged.located(_FILE)])


REPORT_FORMS: Final[dict[str, Callable[[Judgement], bytes]]] = {
    JSON: _json,
    "application/sarif+json": _sarif,
    "application/junit+xml": _junit,
    "text/markdown": _markdown,
    "text/html": _html,
    "text/plain": _plain_text,
}
