"""An edition as a jurisdiction amends it on a day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace

from changeout.domain.findings import Effect, Reviewed
from changeout.editions.jurisdictions import Amendment, Jurisdiction, Requirement
from changeout.editions.rows import Edition, Parameter, Row


def amended(edition: Edition, jurisdiction: Jurisdiction, day: dt.date | None) -> Edition:
    """Return *edition* with what the jurisdiction changes on *day*; without a day, only what has no dates."""
    rows = dict(edition.rows)
    for amendment in jurisdiction.amendments:
        if edition.name in amendment.editions and holds_on(amendment.since, amendment.until, day):
            rows[amendment.rule] = _row(rows[amendment.rule], amendment, jurisdiction.id)
    for requirement in requirements_on(jurisdiction, edition.name, day):
        rows[requirement.id] = _requirement_row(requirement, jurisdiction.id)
    return replace(edition, rows=rows)


def requirements_on(jurisdiction: Jurisdiction, edition: str, day: dt.date | None) -> tuple[Requirement, ...]:
    """Return the jurisdiction's own requirements that hold in an edition on a day."""
    return tuple(r for r in jurisdiction.requirements if edition in r.editions and holds_on(r.since, r.until, day))


def turning_days(jurisdiction: Jurisdiction) -> tuple[dt.date, ...]:
    """Return the days on which something of the jurisdiction begins to hold or has ceased to, in order."""
    dated: tuple[Amendment | Requirement, ...] = (*jurisdiction.amendments, *jurisdiction.requirements)
    days = {d.since for d in dated if d.since} | {d.until + dt.timedelta(days=1) for d in dated if d.until}
    return tuple(sorted(days))


def holds_on(since: dt.date | None, until: dt.date | None, day: dt.date | None) -> bool:
    """Whether a thing with these first and last days holds on *day* (both days included)."""
    if day is None:
        return since is None and until is None
    return (since is None or day >= since) and (until is None or day <= until)


def _row(row: Row, amendment: Amendment, local: str) -> Row:
    note = amendment.reference
    if amendment.action == "remove":
        return replace(row, in_force=False, effect=Effect.NONE, local=local, local_note=note)
    parameters = _parameters(row.parameters, amendment, local)
    return replace(
        row,
        in_force=True if amendment.action == "add" else row.in_force,
        effect=amendment.effect or row.effect,
        section=amendment.section or row.section,
        parameters=parameters,
        local=local,
        local_note=note,
    )


def _parameters(old: Mapping[str, Parameter], amendment: Amendment, local: str) -> dict[str, Parameter]:
    found = dict(old)
    for name, parameter in (amendment.parameters or {}).items():
        value = parameter.value
        before = found.get(name)
        if amendment.action == "extend" and before and isinstance(before.value, tuple) and isinstance(value, tuple):
            joined = tuple(dict.fromkeys((*(str(v) for v in before.value), *(str(v) for v in value))))
            found[name] = replace(before, value=joined, source=amendment.source, local=local)
        else:
            found[name] = replace(parameter, source=amendment.source, local=local)
    return found


def _requirement_row(requirement: Requirement, local: str) -> Row:
    return Row(
        rule=requirement.id,
        in_force=True,
        effect=requirement.effect,
        section=requirement.reference,
        also=(),
        parameters={},
        source=requirement.source,
        reviewed=Reviewed.VERIFIED,
        local=local,
        local_note=requirement.reference,
    )
