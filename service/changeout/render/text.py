"""A report as text for a terminal or a letter: what fails first, then what to ask, then what is tied or advised."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from changeout.domain.findings import Figure, Finding, Outcome, Question, Report
from changeout.domain.proposal import Proposal
from changeout.render.figures import figure_text
from changeout.render.groups import Group, Sorted, alike, asked_words, by_reason, counted, grouped, sorted_findings
from changeout.render.places import place_name, place_names

Locate = Callable[[str], tuple[int, int] | None]

_WIDTH: Final = 100
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
    """How lines are written: with colour or not, and where a pointer stands in the file and what it is called."""

    colour: bool
    locate: Locate | None
    file: str
    proposal: Proposal | None

    def paint(self, text: str, *codes: str) -> str:
        return f"\x1b[{';'.join(codes)}m{text}\x1b[0m" if self.colour else text

    def places(self, pointers: Sequence[str]) -> str:
        """Return places in words, or as pointers, and in brackets ``file:line:column`` of the first."""
        if not any(pointers):
            return self._with_line("/", "")
        named = (
            place_names(pointers, self.proposal) if self.proposal is not None else ", ".join(dict.fromkeys(pointers))
        )
        return self._with_line(plain(named), pointers[0])

    def _with_line(self, shown: str, pointer: str) -> str:
        where = self.locate(pointer) if self.locate is not None else None
        return f"{shown} ({self.file}:{where[0]}:{where[1]})" if where is not None else shown


def report_text(
    report: Report,
    proposal: Proposal | None = None,
    *,
    colour: bool,
    locate: Locate | None = None,
    file: str = "",
    everything: bool = False,
) -> str:
    """Return the report as lines of text that end with a newline: ``findings_text`` with its closing."""
    text = findings_text(report, proposal, colour=colour, locate=locate, file=file, everything=everything)
    return text + closing_text([report], colour=colour)


def findings_text(
    report: Report,
    proposal: Proposal | None = None,
    *,
    colour: bool,
    locate: Locate | None = None,
    file: str = "",
    everything: bool = False,
) -> str:
    """Return the report without its closing, as lines of text that end with a newline.

    Args:
        report: What to write.
        proposal: What it is about, so that circuits and runs go by their own names.
        colour: Whether to use the colours of a terminal.
        locate: Where the value at a pointer stands in the file: line and column counted from 1.
        file: The file's name, for the places.
        everything: Whether to list in full what is otherwise one line or a count: inspection items, what is
            satisfied and what does not apply.
    """
    pen = _Pen(colour=colour, locate=locate, file=plain(file), proposal=proposal)
    found = sorted_findings(report.findings)
    lines = [
        *_head(report, pen),
        *_cards(found.violations, pen),
        *_cards(found.waived, pen),
        *_questions(report.questions, pen),
        *_cards(found.undetermined, pen),
        *_list("Conditions, before the equipment is energized", report.conditions, pen),
        *_cards(found.conditional, pen),
        *_cards(found.near_limit, pen),
        *_cards(found.advice, pen),
        *_inspection(found, pen, everything=everything),
        *(_rest(found, pen) if everything else ()),
        *_counts(report, pen, everything=everything),
    ]
    return "\n".join(lines) + "\n"


def closing_text(reports: Sequence[Report], *, colour: bool) -> str:
    """Return what all *reports* end with, each sentence once: their cautions, and who decides."""
    pen = _Pen(colour=colour, locate=None, file="", proposal=None)
    cautions = dict.fromkeys(caution for report in reports for caution in report.cautions)
    return "\n".join(_closing([*cautions], [*dict.fromkeys(report.defers_to for report in reports)], pen)) + "\n"


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


def _cards(findings: Sequence[Finding], pen: _Pen) -> Iterator[str]:
    for group in grouped(findings):
        yield ""
        yield from _card(group, pen)


def _card(group: Group, pen: _Pen) -> Iterator[str]:
    first = group.first
    label = first.outcome.value.upper()
    waived = " (waived)" if first.waived is not None else ""
    advice = f" ({first.advice.value})" if first.advice is not None else ""
    heading = _wrapped(f"{label}{waived}{advice}  {first.title}  [{_section(first)}]", hanging="  ")
    yield pen.paint(label, _BOLD, _COLOURS[first.outcome]) + heading[0].removeprefix(label)
    yield from heading[1:]
    said = group.messages
    for message, subjects in said:
        where = _beginning(subjects, pen) if len(said) > 1 else ""
        yield from _wrapped(f"{where}{message}", indent="  ")
    yield from _entry("found", _figure([f.found for f in group.findings]))
    yield from _entry("required", _figure([f.required for f in group.findings]))
    for remedy, _ in group.remedies:
        yield from _entry("remedy", remedy.text)
        for effect in remedy.effects:
            yield from _entry("but", effect)
    for caution in group.cautions:
        yield from _entry("caution", caution)
    subjects = tuple(subject for _, places in said for subject in places)
    if subjects != group.missing:
        yield from _entry("at", pen.places(subjects))
    if group.missing:
        yield from _entry("missing", pen.places(group.missing))
    yield from _entry("rule", f"{first.rule} ({first.basis.value}; row {first.reviewed.value})")


def _beginning(subjects: Sequence[str], pen: _Pen) -> str:
    """Return places as the beginning of a sentence; nothing where they are no entries of a list."""
    if all(place_name(subject) == subject for subject in subjects):
        return ""
    names = place_names(subjects, pen.proposal)
    return f"{names[:1].upper()}{names[1:]}: "


def _section(finding: Finding) -> str:
    reference = finding.reference
    sections = [section for section in (reference.section, *reference.also) if section]
    local = f", local: {plain(reference.local)}" if reference.local is not None else ""
    return f"{reference.edition} {', '.join(sections) or 'no section'}{local}"


def _figure(figures: Sequence[Figure | None]) -> str | None:
    """Return a figure that several findings have in common, or None where they differ."""
    figure = figures[0]
    if figure is None or any(other != figure for other in figures):
        return None
    relation = f"{figure.relation} " if figure.relation else ""
    return f"{relation}{figure_text(figure)} ({figure.name})"


def _questions(questions: Sequence[Question], pen: _Pen) -> Iterator[str]:
    asked = [
        f"{asked_words(same)} At: {pen.places([question.pointer for question in same])}." for same in alike(questions)
    ]
    yield from _list("Questions, the most useful first", asked, pen)


def _inspection(found: Sorted, pen: _Pen, *, everything: bool) -> Iterator[str]:
    if not found.inspection:
        return
    groups = grouped(found.inspection)
    title = f"To be seen at inspection ({counted(groups)})"
    if everything:
        yield from ("", pen.paint(title, _BOLD))
        yield from _cards(found.inspection, pen)
        return
    yield from _list(title, [_item(group, pen) for group in groups], pen, mark="[ ]")


def _item(group: Group, pen: _Pen) -> str:
    subjects = [subject for _, subjects in group.messages for subject in subjects]
    listed = [subject for subject in subjects if place_name(subject) != subject]
    at = f": {place_names(listed, pen.proposal)}" if listed else ""
    return f"{group.first.title} [{_section(group.first)}]{at}"


def _rest(found: Sorted, pen: _Pen) -> Iterator[str]:
    yield from _cards(found.satisfied, pen)
    reasons = [
        f"{message} ({', '.join(dict.fromkeys(finding.rule for finding in same))})"
        for message, same in by_reason(found.not_applicable)
    ]
    yield from _list(f"Does not apply ({len(found.not_applicable)})", reasons, pen)


def _counts(report: Report, pen: _Pen, *, everything: bool) -> Iterator[str]:
    yield ""
    named = ", ".join(f"{number} {name}" for name, number in report.counts.items() if number)
    yield from _wrapped(f"Counts: {named}.{' Listed in full: --all.' if pen.file and not everything else ''}")


def _closing(cautions: Sequence[str], defers_to: Sequence[str], pen: _Pen) -> Iterator[str]:
    yield from _list("Cautions", cautions, pen)
    for sentence in defers_to:
        yield ""
        yield from _wrapped(sentence)


def _list(title: str, items: Sequence[str], pen: _Pen, mark: str = "-") -> Iterator[str]:
    if items:
        yield ""
        yield pen.paint(title, _BOLD)
        for item in items:
            yield from _wrapped(item, indent=f"  {mark} ", hanging=" " * (len(mark) + 3))


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
