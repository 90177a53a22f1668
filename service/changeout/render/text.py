"""A report as text for a terminal or a letter: what fails first, then what is open, then what to ask."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from changeout.domain.findings import Figure, Finding, Outcome, Question, Report
from changeout.render.figures import figure_text, number_text

Locate = Callable[[str], tuple[int, int] | None]

_WIDTH: Final = 100
_LISTED: Final = (Outcome.VIOLATION, Outcome.UNDETERMINED, Outcome.CONDITIONAL, Outcome.ADVISORY)
_COLOURS: Final = {
    Outcome.VIOLATION: "31",
    Outcome.UNDETERMINED: "33",
    Outcome.CONDITIONAL: "36",
    Outcome.ADVISORY: "34",
    Outcome.SATISFIED: "32",
    Outcome.NOT_APPLICABLE: "2",
}
_VERDICT_COLOURS: Final = {
    "violations": "31",
    "undetermined": "33",
    "conforms-with-conditions": "36",
    "conforms": "32",
}
_BOLD: Final = "1"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pen:
    """How lines are written: with colour or not, and where a pointer stands in the file."""

    colour: bool
    locate: Locate | None
    file: str

    def paint(self, text: str, *codes: str) -> str:
        return f"\x1b[{';'.join(codes)}m{text}\x1b[0m" if self.colour else text

    def place(self, pointer: str) -> str:
        """Return the pointer, and in brackets ``file:line:column`` where it stands in the file."""
        shown = pointer or "/"
        where = self.locate(pointer) if self.locate is not None else None
        return f"{shown} ({self.file}:{where[0]}:{where[1]})" if where is not None else shown


def report_text(
    report: Report, *, colour: bool, locate: Locate | None = None, file: str = "", everything: bool = False
) -> str:
    """Return the report as lines of text that end with a newline.

    Args:
        report: What to write.
        colour: Whether to use the colours of a terminal.
        locate: Where the value at a pointer stands in the file: line and column counted from 1.
        file: The file's name, for the places.
        everything: Whether satisfied and not applicable findings are listed too, not only counted.
    """
    pen = _Pen(colour=colour, locate=locate, file=plain(file))
    lines: list[str] = []
    lines += _head(report, pen)
    for finding in report.findings:
        if everything or finding.outcome in _LISTED:
            lines += ["", *_finding(finding, pen)]
    lines += _tail(report, pen)
    return "\n".join(lines) + "\n"


def plain(text: str) -> str:
    """Return *text* with every character that could steer a terminal spelled as an escape."""
    return "".join(c if unicodedata.category(c) not in {"Cc", "Cf", "Zl", "Zp"} else f"\\u{ord(c):04x}" for c in text)


def _head(report: Report, pen: _Pen) -> Iterator[str]:
    verdict = pen.paint(report.verdict.upper(), _BOLD, _VERDICT_COLOURS.get(report.verdict, _BOLD))
    name = f"{pen.file}: " if pen.file else ""
    yield f"{name}{verdict} under edition {report.ruleset.edition} ({plain(report.edition_chosen_by)})"
    yield from _wrapped(report.headline)
    if report.verdict_before_waivers != report.verdict:
        yield from _wrapped(f"Without the waivers: {report.verdict_before_waivers}.")
    if report.ruleset.preview:
        yield from _wrapped("This edition is a preview: not all of its rows are known.")
    if report.reference is not None:
        yield from _wrapped(f"Reference: {report.reference}")


def _finding(finding: Finding, pen: _Pen) -> Iterator[str]:
    label = pen.paint(finding.outcome.value.upper(), _BOLD, _COLOURS[finding.outcome])
    waived = " (waived)" if finding.waived is not None else ""
    advice = f" ({finding.advice.value})" if finding.advice is not None else ""
    yield f"{label}{waived}{advice}  {pen.paint(plain(finding.title), _BOLD)}  [{_section(finding)}]"
    yield from _wrapped(finding.message, indent="  ")
    yield from _entry("found", _figure(finding.found))
    yield from _entry("required", _figure(finding.required))
    for pointer in finding.missing:
        yield from _entry("missing", pen.place(plain(pointer)))
    for remedy in finding.remedies:
        yield from _entry("remedy", remedy.text)
        for effect in remedy.effects:
            yield from _entry("but", effect)
    for caution in finding.cautions:
        yield from _entry("caution", caution)
    for subject in finding.subjects or (finding.subject,):
        yield from _entry("at", pen.place(plain(subject)))
    yield from _entry("rule", f"{finding.rule} ({finding.basis.value}; row {finding.reviewed.value})")


def _section(finding: Finding) -> str:
    reference = finding.reference
    sections = [section for section in (reference.section, *reference.also) if section]
    local = f", local: {plain(reference.local)}" if reference.local is not None else ""
    return f"{reference.edition} {', '.join(sections) or 'no section'}{local}"


def _figure(figure: Figure | None) -> str | None:
    if figure is None:
        return None
    relation = f"{figure.relation} " if figure.relation else ""
    return f"{relation}{figure_text(figure)} ({figure.name})"


def _tail(report: Report, pen: _Pen) -> Iterator[str]:
    yield ""
    counted = ", ".join(f"{number} {name}" for name, number in report.counts.items() if number)
    yield from _wrapped(f"Counts: {counted}.")
    if report.open_at_inspection:
        yield f"To be seen at inspection: {report.open_at_inspection}."
    yield from _list("Conditions, before the equipment is energized", report.conditions, pen)
    yield from _list("Questions, the most useful first", [_asked(q, pen) for q in report.questions], pen)
    yield from _list("Cautions", report.cautions, pen)
    yield ""
    yield from _wrapped(report.defers_to)


def _asked(question: Question, pen: _Pen) -> str:
    flips = ""
    if question.threshold is not None:
        limit = question.threshold
        flips = f" {limit.relation} {number_text(limit.value)} {limit.unit} makes {limit.rule} {limit.outcome.value}."
    return f"{question.ask}{flips} [{pen.place(question.pointer)}]"


def _list(title: str, items: Sequence[str], pen: _Pen) -> Iterator[str]:
    if items:
        yield ""
        yield pen.paint(title, _BOLD)
        for item in items:
            yield from _wrapped(item, indent="  - ", hanging="    ")


def _entry(name: str, text: str | None) -> Iterator[str]:
    if text is not None:
        yield from _wrapped(text, indent=f"  {name + ':':<10}", hanging=" " * 12)


def _wrapped(text: str, indent: str = "", hanging: str | None = None) -> list[str]:
    return textwrap.wrap(
        plain(text),
        width=_WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_long_words=False,
        break_on_hyphens=False,
    )
