"""The rulesets of a jurisdiction: every edition as amended in every span of days, joined once at start."""

from __future__ import annotations

import bisect
import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from changeout.editions.amending import amended, requirements_on, turning_days
from changeout.editions.jurisdictions import Jurisdiction
from changeout.editions.rows import Edition, RulesetError
from changeout.review.requirements import rule_of
from changeout.review.ruleset import Ruleset, digest_of, join, plain
from changeout.rules._registry import Rule


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalRulesets:
    """A jurisdiction and its rulesets.

    ``spans`` maps an edition to its rulesets: the first is for an unknown day, then one before the first turning
    day, then one from each turning day on.
    """

    jurisdiction: Jurisdiction
    turns: tuple[dt.date, ...]
    spans: Mapping[str, tuple[Ruleset, ...]]
    digest: str

    def ruleset(self, edition: str, day: dt.date | None) -> Ruleset:
        """Return the ruleset of *edition* on *day*, or with what has no dates where no day is known."""
        spans = self.spans[edition]
        return spans[0] if day is None else spans[1 + bisect.bisect_right(self.turns, day)]

    def summary(self) -> dict[str, Any]:
        """Return the jurisdiction in a few words, JSON-ready."""
        local = self.jurisdiction
        return {
            "id": local.id,
            "name": local.name,
            "note": local.note,
            "adoptions": [{"edition": a.edition, "from": a.since.isoformat()} for a in local.adoptions],
            "digest": self.digest,
        }

    def page(self) -> dict[str, Any]:
        """Return the whole local ruleset, JSON-ready, as its file has it."""
        return {**self.summary(), **{k: plain(v) for k, v in self.jurisdiction.raw.items() if k != "jurisdiction"}}


def local_rulesets(
    jurisdiction: Jurisdiction,
    editions: Mapping[str, Edition],
    rules: Mapping[str, Rule],
    since: Mapping[str, str],
) -> LocalRulesets:
    """Return the rulesets of a jurisdiction.

    Raises:
        RulesetError: if an id of its own requirements is a rule's already, or an amended row cannot be used.
    """
    own = {r.id: rule_of(r) for r in jurisdiction.requirements}
    for name in own:
        if name in rules:
            raise RulesetError(f"{jurisdiction.id}.toml", None, f"{name} is already the id of a rule")
    turns = turning_days(jurisdiction)
    before = turns[0] - dt.timedelta(days=1) if turns else dt.date.max
    spans: dict[str, tuple[Ruleset, ...]] = {}
    for name, edition in editions.items():
        made: list[Ruleset] = []
        for day in (None, before, *turns):
            here = amended(edition, jurisdiction, day)
            same = next((known for known in made if known.edition.rows == here.rows), None)
            held = {r.id: own[r.id] for r in requirements_on(jurisdiction, name, day)}
            made.append(same or join(here, {**rules, **held}, since, jurisdiction))
        spans[name] = tuple(made)
    return LocalRulesets(jurisdiction=jurisdiction, turns=turns, spans=spans, digest=digest_of(plain(jurisdiction.raw)))
