"""Everything a caller can ask, over rulesets loaded once at start."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any, Final

from changeout import __version__
from changeout.application.calculations import calculate
from changeout.application.choice import choose
from changeout.domain.findings import Report
from changeout.domain.problems import Refusal
from changeout.editions.jurisdiction_files import load_jurisdictions
from changeout.editions.load import load_editions
from changeout.editions.rows import Edition
from changeout.intake.members import member_values
from changeout.intake.naming import ProposalMembers
from changeout.intake.read import ReadProposal, read_proposal
from changeout.review import catalogue
from changeout.review.engine import Submission, review
from changeout.review.local import LocalRulesets, local_rulesets
from changeout.review.ruleset import Ruleset, digest_of, first_asked, join
from changeout.rules import load_rules
from changeout.rules._case import Adoption

DETAILS: Final = ("full", "findings")


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """The rulesets and what can be asked of them. Immutable; made once at start by ``load``."""

    editions_by_name: Mapping[str, Edition]
    jurisdictions_by_id: Mapping[str, LocalRulesets]
    rulesets: Mapping[str, Ruleset]
    digest: str

    @classmethod
    def load(cls, jurisdictions: Path | None = None) -> Service:
        """Return a service over the shipped editions, the shipped local rulesets and those of a folder.

        Raises:
            RulesetError: naming file, line and reason, if anything in a ruleset is not in order.
        """
        editions, rules = load_editions(), load_rules()
        since = first_asked(editions)
        rulesets = {name: join(edition, rules, since) for name, edition in editions.items()}
        read = load_jurisdictions(editions, member_values(), jurisdictions)
        local = {name: local_rulesets(j, editions, rules, since) for name, j in read.items()}
        return cls(
            editions_by_name=editions,
            jurisdictions_by_id=local,
            rulesets=rulesets,
            digest=digest_of(
                {
                    "editions": {n: r.digest for n, r in rulesets.items()},
                    "local": {i: j.digest for i, j in local.items()},
                }
            ),
        )

    def validate(self, body: bytes, *, edition: str | None = None, detail: str = "full") -> Report:
        """Return the report on the proposal in *body*.

        *edition* overrides what the proposal says; *detail* is ``full`` or ``findings``.

        Raises:
            Refusal: if the body cannot be read or no ruleset can be chosen.
        """
        read = read_proposal(body, edition_chosen=edition is not None)
        return self.report_on(read, edition=edition, detail=detail)

    def report_on(self, read: ReadProposal, *, edition: str | None = None, detail: str = "full") -> Report:
        """Return the report on a proposal that was read.

        Raises:
            Refusal: if no ruleset can be chosen.
        """
        ruleset, adoption = self.chosen(read, edition)
        return review(
            Submission(
                proposal=read.proposal,
                digest=digest_of(read.canonical),
                reference=read.reference,
                annotations=read.annotations,
            ),
            ruleset,
            adoption,
            ProposalMembers(),
            engine=__version__,
            detail=detail,
        )

    def chosen(self, read: ReadProposal, edition: str | None) -> tuple[Ruleset, Adoption]:
        """Return the ruleset that judges a proposal and how it came to be chosen.

        Raises:
            Refusal: if there is none, with its place in the text.
        """
        try:
            return choose(read.proposal, edition, self.rulesets, self.jurisdictions_by_id)
        except Refusal as refused:
            raise read.placed(refused) from None

    def calculate(self, kind: str, body: bytes, *, edition: str | None = None) -> dict[str, Any]:
        """Return one calculation on the proposal in *body*, with its steps.

        Raises:
            Refusal: if the body cannot be read or no ruleset can be chosen.
            KeyError: if no calculation is called *kind*.
        """
        read = read_proposal(body, edition_chosen=edition is not None)
        ruleset, adoption = self.chosen(read, edition)
        return calculate(kind, read.proposal, ruleset, adoption)

    def editions(self) -> tuple[str, ...]:
        """Return the names of the editions, oldest first."""
        return tuple(self.editions_by_name)

    def edition(self, edition: str) -> dict[str, Any]:
        """Return an edition's ruleset, readable.

        Raises:
            KeyError: if there is no such edition.
        """
        return catalogue.edition_page(self.rulesets[edition])

    def rule(self, edition: str, rule: str) -> dict[str, Any]:
        """Return one rule under an edition: what it asks, when it passes and fails, and how it is known.

        Raises:
            KeyError: if there is no such edition or rule.
        """
        return catalogue.rule_page(self.rulesets[edition], rule)

    def changes(self, edition: str, since: str) -> dict[str, Any]:
        """Return what changed from the edition *since* to *edition*, rule by rule.

        Raises:
            KeyError: if there is no such edition.
        """
        return catalogue.changes_page(self.rulesets[since], self.rulesets[edition])

    def jurisdictions(self) -> list[dict[str, Any]]:
        """Return the local rulesets, a short line each."""
        return [j.summary() for j in self.jurisdictions_by_id.values()]

    def jurisdiction(self, jurisdiction_id: str) -> dict[str, Any]:
        """Return one local ruleset, readable.

        Raises:
            KeyError: if there is no such jurisdiction.
        """
        return self.jurisdictions_by_id[jurisdiction_id].page()

    def examples(self) -> tuple[str, ...]:
        """Return the names of the example proposals."""
        return tuple(_examples())

    def example(self, name: str) -> bytes:
        """Return an example proposal as it is sent.

        Raises:
            KeyError: if there is no such example.
        """
        return _examples()[name]


@cache
def _examples() -> Mapping[str, bytes]:
    """Return every example by its name. They are read once."""
    files = {file.name: file for file in resources.files("changeout.examples").iterdir()}
    return {name.removesuffix(".json"): files[name].read_bytes() for name in sorted(files) if name.endswith(".json")}
