"""Local rulesets as data: which edition from which date, amendments, further requirements, published ceilings.

A file is TOML and says nothing that runs. Everything in it is checked when it is loaded.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from changeout.domain.findings import Effect, Stage
from changeout.domain.proposal import Project
from changeout.editions.rows import Parameter

EVENTS: Final = ("application-filed", "permit-issued", "work-started")
ACTIONS: Final = ("remove", "add", "effect", "replace", "tighten", "extend")


class NotYetAdopted(Exception):
    """The date is before the first adoption that is known for a jurisdiction."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Adoption:
    """An edition in force from a day on, counted by an event.

    ``grace_days`` is how long after that day a permit may still be issued under the former edition on an application
    filed before it; None where the text sets no such term.
    """

    edition: str
    since: dt.date
    event: str
    grace_days: int | None
    reference: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Amendment:
    """One change to one rule's row, in the editions and between the days named."""

    rule: str
    editions: tuple[str, ...]
    action: str
    reference: str
    source: str
    since: dt.date | None = None
    until: dt.date | None = None
    effect: Effect | None = None
    section: str | None = None
    parameters: Mapping[str, Parameter] | None = None
    stricter: Mapping[str, str] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A statement about one member of the proposal, in the closed vocabulary of local rulesets.

    Exactly one of the tests is given: ``equals`` (a word or a yes or no), ``among`` (words), ``at_least`` or
    ``at_most`` (a number in the member's base unit), ``stated``.
    """

    member: str
    equals: str | bool | None = None
    among: tuple[str, ...] | None = None
    at_least: float | None = None
    at_most: float | None = None
    stated: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """A rule of the jurisdiction's own: where every ``when`` holds, ``requires`` holds or ``document`` is there."""

    id: str
    title: str
    editions: tuple[str, ...]
    stage: Stage
    effect: Effect
    when: tuple[Condition, ...]
    requires: Condition | None
    document: str | None
    reference: str
    source: str
    because: str
    remedy: str
    since: dt.date | None = None
    until: dt.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ceiling:
    """The greatest fault current that a utility publishes for a class of services: A, at the source's terminals."""

    greatest_fault_current_a: float
    when: tuple[Condition, ...]
    reference: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InForce:
    """The edition that holds for a project, and because of which adoption."""

    edition: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Jurisdiction:
    """A local ruleset as it was read."""

    id: str
    name: str
    note: str
    adoptions: tuple[Adoption, ...]
    amendments: tuple[Amendment, ...]
    requirements: tuple[Requirement, ...]
    ceilings: tuple[Ceiling, ...]
    raw: Mapping[str, Any]

    def in_force(self, project: Project) -> InForce:
        """Return the edition in force for a project.

        An adoption counts by its event's date where the project states it; until it is stated, by the date applied
        on, which comes first.

        Raises:
            NotYetAdopted: if the date is before the first adoption, or no date is stated.
        """
        found: Adoption | None = None
        for adoption in self.adoptions:
            if project.applied_on.value is None:
                raise NotYetAdopted(f"the date applied on is needed to tell what is in force in {self.name}")
            if _reached(project, adoption, first=found is None):
                found = adoption
        if found is None:
            first = self.adoptions[0]
            raise NotYetAdopted(
                f"the first adoption known for {self.name} is edition {first.edition}, in force from {first.since}; "
                "what held before is not known here"
            )
        return InForce(edition=found.edition, because=f"adopted by {self.name} from {found.since} ({found.reference})")


def _day(project: Project, event: str) -> dt.date | None:
    dates = {"permit-issued": project.permit_issued_on.value, "work-started": project.work_started_on.value}
    return dates.get(event) or project.applied_on.value


def _reached(project: Project, adoption: Adoption, *, first: bool) -> bool:
    day, applied, issued = _day(project, adoption.event), project.applied_on.value, project.permit_issued_on.value
    reached = day is not None and day >= adoption.since
    if first or adoption.grace_days is None or applied is None or issued is None or applied >= adoption.since:
        return reached
    return issued > adoption.since + dt.timedelta(days=adoption.grace_days)
