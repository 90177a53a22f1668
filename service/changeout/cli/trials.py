"""``changeout compare``, ``diff``, ``what-if`` and ``document``: one proposal seen in other ways."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import click
import jsonpointer

from changeout.application.compare import compare as compared
from changeout.application.decision_diff import decision_diff
from changeout.application.decisions import MEMBER
from changeout.application.documents import DOCUMENTS, make_document
from changeout.application.what_if import patched, setting
from changeout.application.what_if import what_if as tried
from changeout.cli.completion import FILE, complete_editions
from changeout.cli.files import read, shown
from changeout.cli.look_up import form_option
from changeout.cli.options import CannotError, checked_edition, edition_option, jurisdictions_option, loaded
from changeout.cli.tables import comparison_text, diff_text, what_if_text
from changeout.cli.terminal import located
from changeout.domain.problems import Refusal
from changeout.intake.pointers import join, split
from changeout.intake.read import read_proposal
from changeout.intake.reader import JsonText, read_json

_MEDIA_TYPES = {"html": "text/html", "markdown": "text/markdown"}


@click.command(
    epilog="""\b
Examples:
  changeout compare proposal.json --editions 2017,2020,2023,2026
  changeout compare proposal.json --editions 2023 --jurisdictions-named demo-harbor-county
  changeout compare proposal.json --format json""",
    short_help="Judge a proposal under several editions.",
)
@click.argument("file", metavar="FILE", type=FILE)
@click.option(
    "--editions",
    metavar="E1,E2,...",
    default="",
    shell_complete=complete_editions,
    help="The editions; all, unless anything is named.",
)
@click.option(
    "--jurisdictions-named", metavar="J1,J2,...", default="", help="Jurisdictions, as of the date applied on."
)
@form_option
@jurisdictions_option
def compare(file: str, editions: str, jurisdictions_named: str, form: str, jurisdictions: Path | None) -> None:
    """Judge the proposal in FILE under several editions or jurisdictions, and say which rules differ and why."""
    service = loaded(jurisdictions)
    with _told_of(file):
        body = read(file)
        request = {
            "proposal": read_proposal(body, edition_chosen=True).document,
            **_named("editions", editions),
            **_named("jurisdictions", jurisdictions_named),
        }
    with _told_of(None):
        page = compared(service, _bytes(request))
    click.echo(_json(page) if form == "json" else comparison_text(page), nl=form == "json")


@click.command(
    epilog="""\b
Examples:
  changeout diff submitted.json resubmitted.json
  changeout diff submitted.json resubmitted.json --edition 2023 --format json""",
    short_help="Say what a resubmission fixed and broke.",
)
@click.argument("old", metavar="OLD", type=FILE)
@click.argument("new", metavar="NEW", type=FILE)
@edition_option
@form_option
@jurisdictions_option
def diff(old: str, new: str, edition: str | None, form: str, jurisdictions: Path | None) -> None:
    """Say what became of a project between the proposals in OLD and NEW: fixed, new, still open, changed unasked."""
    service = loaded(jurisdictions)
    chosen = checked_edition(service, edition)
    request: dict[str, Any] = {} if chosen is None else {"edition": chosen}
    for name, file in (("old", old), ("new", new)):
        with _told_of(file):
            proposal = read_proposal(read(file), edition_chosen=chosen is not None)
            service.chosen(proposal, chosen)
            request[name] = proposal.document
    with _told_of(None):
        page = decision_diff(service, _bytes(request))
    click.echo(_json(page) if form == "json" else diff_text(page), nl=form == "json")


@click.command(
    "what-if",
    epilog="""\b
Examples:
  changeout what-if proposal.json --set '/panelboard/short_circuit_rating=22 kA'
  changeout what-if proposal.json --set /enclosure/type=3R --remove /location/room
  changeout what-if proposal.json --sweep /supply/source/impedance_percent=1.5,2,2.5,3

\b
POINTER is a JSON Pointer (RFC 6901). A value is read as JSON where it is JSON (1.9, true, null),
else as text.""",
    short_help="Try other values without editing the file.",
)
@click.argument("file", metavar="FILE", type=FILE)
@click.option("--set", "sets", multiple=True, metavar="POINTER=VALUE", help="Give a member this value. Repeatable.")
@click.option("--remove", "removes", multiple=True, metavar="POINTER", help="Take a member away. Repeatable.")
@click.option("--sweep", metavar="POINTER=V1,V2,...", help="Try each of these values of one member.")
@edition_option
@form_option
@jurisdictions_option
def what_if(
    file: str,
    sets: Sequence[str],
    removes: Sequence[str],
    sweep: str | None,
    **chosen: Any,  # noqa: ANN401 - the options that other commands have too
) -> None:
    """Say what would be found in FILE if members had other values."""
    service = loaded(chosen["jurisdictions"])
    edition = checked_edition(service, chosen["edition"])
    if (sweep is None) == (not sets and not removes):
        raise CannotError("give either --sweep, or --set and --remove")
    with _told_of(file):
        proposal = read_proposal(read(file), edition_chosen=edition is not None)
        service.chosen(proposal, edition)
    request: dict[str, Any] = {"proposal": proposal.document} | ({} if edition is None else {"edition": edition})
    with _told_of(None):
        request |= _swept(sweep) if sweep is not None else {"patch": _patch(proposal.document, sets, removes)}
        page = tried(service, _bytes(request))
    click.echo(_json(page) if chosen["form"] == "json" else what_if_text(page), nl=chosen["form"] == "json")


@click.command(
    epilog="""\b
Examples:
  changeout document correction-letter proposal.json > letter.html
  changeout document correction-letter proposal.json --decisions decisions.json --format markdown
  changeout document fault-current-marking proposal.json > marking.html

\b
DECISIONS is a JSON array of what a reviewer decided:
  [{"rule": "working-space-depth", "action": "drop", "text": "measured on site", "by": "plan review"}]
ACTION is keep, drop, defer or note; a subject beside the rule picks one of its findings.

\b
KIND is one of:
"""
    + "\n".join(f"  {kind}" for kind in DOCUMENTS),
    short_help="Write a letter, a checklist or another page.",
)
@click.argument("kind", type=click.Choice(DOCUMENTS), metavar="KIND")
@click.argument("file", metavar="FILE", type=FILE)
@click.option(
    "--decisions", type=click.Path(exists=True, dir_okay=False), help="For a correction letter: what was decided."
)
@click.option(
    "--format",
    "form",
    type=click.Choice(list(_MEDIA_TYPES)),
    default="html",
    show_default=True,
    help="HTML prints as it is; Markdown can be worked over.",
)
@edition_option
@jurisdictions_option
def document(
    kind: str, file: str, decisions: str | None, form: str, edition: str | None, jurisdictions: Path | None
) -> None:
    """Write a document made from the proposal in FILE, ready to print."""
    service = loaded(jurisdictions)
    chosen = checked_edition(service, edition)
    with _told_of(file):
        body = read(file)
        if decisions is None:
            made = make_document(service, kind, body, _MEDIA_TYPES[form], edition=chosen)
        else:
            proposal = read_proposal(body, edition_chosen=chosen is not None)
            service.chosen(proposal, chosen)
    if decisions is not None:
        with _told_of(decisions):
            told = read_json(read(decisions))
            request = {"proposal": proposal.document, MEMBER: told.value}
            try:
                made = make_document(service, kind, _bytes(request), _MEDIA_TYPES[form], edition=chosen)
            except Refusal as refusal:
                raise _in_decisions(refusal, told) from None
    click.echo(made, nl=False)


def _in_decisions(refusal: Refusal, told: JsonText) -> Refusal:
    """Return a refusal of a request with its errors placed in the text of the decisions."""
    places = told.places()
    return Refusal(
        refusal.problem.code,
        refusal.detail,
        tuple(
            replace(error, pointer=pointer, line=where.line, column=where.column)
            for error in refusal.errors
            for pointer in [error.pointer.removeprefix(f"/{MEMBER}")]
            for where in [places.of_value(pointer)]
        ),
    )


@contextmanager
def _told_of(file: str | None) -> Iterator[None]:
    """End the command when something is refused: located in *file*, or where it has no place there, by its pointer.

    Raises:
        CannotError: in place of a refusal.
    """
    try:
        yield
    except Refusal as refusal:
        if file is not None:
            raise CannotError("\n".join(located(refusal, shown(file)))) from None
        told = [f"{error.pointer or '/'}: {error.detail}" for error in refusal.errors]
        raise CannotError("\n".join(told) or refusal.detail) from None


def _named(member: str, text: str) -> Mapping[str, Any]:
    names = [name.strip() for name in text.split(",") if name.strip()]
    return {member: names} if names else {}


def assigned(text: str) -> tuple[str, str]:
    """Return the pointer and the value of ``POINTER=VALUE``.

    Raises:
        CannotError: if it is no such text.
    """
    pointer, equals, value = text.partition("=")
    if not equals or not pointer.startswith("/"):
        raise CannotError(f"{text} is not POINTER=VALUE, such as /panelboard/busbar_rating=200 A")
    return pointer, value


def value_of(text: str) -> object:
    """Return the JSON value that *text* is, or the text itself where it is none."""
    try:
        return read_json(text.encode("utf-8", "surrogateescape")).value
    except Refusal:
        return text


def setting_operations(document: Mapping[str, Any], pointer: str, value: object) -> list[dict[str, Any]]:
    """Return the operations that give a member this value; objects around it that are not there yet are made."""
    tokens = split(pointer)
    around = [join("", *tokens[:count]) for count in range(1, len(tokens))]
    missing = [at for at in around if jsonpointer.resolve_pointer(document, at, None) is None]
    return [*({"op": "add", "path": at, "value": {}} for at in missing), setting(document, pointer, value)]


def _swept(sweep: str) -> dict[str, Any]:
    pointer, values = assigned(sweep)
    return {"sweep": {"pointer": pointer, "values": [value_of(value.strip()) for value in values.split(",")]}}


def _patch(document: Mapping[str, Any], sets: Sequence[str], removes: Sequence[str]) -> list[dict[str, Any]]:
    patch: list[dict[str, Any]] = []
    changed = document
    for pointer, value in map(assigned, sets):
        operations = setting_operations(changed, pointer, value_of(value))
        changed = patched(changed, operations, pointer)
        patch += operations
    return [*patch, *({"op": "remove", "path": pointer} for pointer in removes)]


def _bytes(request: Mapping[str, Any]) -> bytes:
    return json.dumps(request, ensure_ascii=False, allow_nan=False).encode()


def _json(page: Mapping[str, Any]) -> str:
    return json.dumps(page, ensure_ascii=False, allow_nan=False, indent=2)
