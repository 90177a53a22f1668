"""What a rule answers, and the finding that an answer becomes under an edition."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from enum import Enum
from typing import Any

from changeout.domain.enumeration import quick
from changeout.domain.value import value


@quick
class Judgement(Enum):
    """What a rule says of a subject. The edition's row turns it into an outcome."""

    HOLDS = "holds"
    FAILS = "fails"
    UNKNOWN = "unknown"
    ARRANGED = "arranged"
    """It will hold once a named, arranged thing is done."""
    ADVISED = "advised"
    """Worth saying, whatever the row's effect; neither good nor bad by the rule's words."""
    NOT_APPLICABLE = "not-applicable"


@quick
class Outcome(Enum):
    """What a finding says, in the order in which a report lists them."""

    VIOLATION = "violation"
    UNDETERMINED = "undetermined"
    CONDITIONAL = "conditional"
    ADVISORY = "advisory"
    SATISFIED = "satisfied"
    NOT_APPLICABLE = "not-applicable"


@quick
class Stage(Enum):
    """When a fact that a rule needs can be known, so what its absence means."""

    INTAKE = "intake"
    INSPECTION = "inspection"


@quick
class Effect(Enum):
    """What a rule that fails amounts to in an edition."""

    VIOLATION = "violation"
    ADVISORY = "advisory"
    NONE = "none"


@quick
class Basis(Enum):
    """What an answer rests on, the strongest that holds for all of it."""

    COMPUTED = "computed"
    DOCUMENTED = "documented"
    DECLARED = "declared"


@quick
class Advice(Enum):
    """Why an advisory was given."""

    INSPECTION = "inspection"
    NEAR_LIMIT = "near-limit"
    PRACTICE = "practice"
    READING = "reading"


@quick
class Reviewed(Enum):
    """How an edition's row is known."""

    VERIFIED = "verified"
    COMMON_PRACTICE = "common-practice"
    FROM_MEMORY = "from-memory"
    UNVERIFIED = "unverified"


@value(frozen=True, slots=True, kw_only=True)
class Figure:
    """What was found or what is required: a number with bounds and unit, or a text where it is no number."""

    name: str
    low: float | None = None
    high: float | None = None
    unit: str | None = None
    relation: str | None = None
    text: str | None = None

    @property
    def value(self) -> float | None:
        """The number where only one is possible."""
        return self.low if self.low == self.high else None


@value(frozen=True, slots=True, kw_only=True)
class Remedy:
    """A way to make a rule hold: in words, and as an RFC 6902 patch where equipment values alone can show it."""

    text: str
    patch: tuple[Mapping[str, Any], ...] = ()
    effects: tuple[str, ...] = ()


@value(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a rule says of one subject, knowing no edition.

    ``subject`` is a JSON Pointer; empty means the thing that the rule is about. ``condition`` is the sentence of
    an arranged thing. ``calculation`` is the id of the calculation the numbers come from.
    """

    judgement: Judgement
    message: str
    subject: str = ""
    found: Figure | None = None
    required: Figure | None = None
    inputs: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    cautions: tuple[str, ...] = ()
    basis: Basis = Basis.DECLARED
    advice: Advice | None = None
    condition: str | None = None
    calculation: str | None = None


@value(frozen=True, slots=True, kw_only=True)
class Reference:
    """Where the rule stands: edition, section, further sections, and the local ruleset that touched it."""

    edition: str
    section: str | None
    also: tuple[str, ...] = ()
    local: str | None = None


@value(frozen=True, slots=True, kw_only=True)
class Finding:
    """One rule's answer about one subject under one edition, as a reviewer signs it.

    ``settled_by`` are the smallest sets of missing members, found by trying, whose values can make an undetermined
    finding definite.
    """

    rule: str
    title: str
    outcome: Outcome
    advice: Advice | None
    basis: Basis
    reviewed: Reviewed
    waived: Mapping[str, Any] | None
    subject: str
    subjects: tuple[str, ...]
    reference: Reference
    message: str
    found: Figure | None
    required: Figure | None
    inputs: tuple[str, ...]
    missing: tuple[str, ...]
    remedies: tuple[Remedy, ...]
    cautions: tuple[str, ...]
    calculation: str | None
    condition: str | None
    settled_by: tuple[tuple[str, ...], ...] = ()


@value(frozen=True, slots=True, kw_only=True)
class Threshold:
    """The value of one member at which one rule's answer flips, the others as they are."""

    relation: str
    value: float
    unit: str
    outcome: Outcome
    rule: str


@value(frozen=True, slots=True, kw_only=True)
class Question:
    """A member worth asking for: what it decides, how many findings it settles alone, and where its answer flips."""

    pointer: str
    ask: str
    decides: tuple[str, ...]
    rank: int
    settles: int = 0
    threshold: Threshold | None = None


@value(frozen=True, slots=True, kw_only=True)
class RulesetSummary:
    """Which ruleset judged: edition, digest of all that can change an answer, and how its rows are known."""

    edition: str
    digest: str
    rules: int
    reviewed: Mapping[str, int]
    preview: bool
    jurisdiction: str | None = None


@value(frozen=True, slots=True, kw_only=True)
class Report:
    """Everything the service answers about one proposal under one ruleset."""

    decision_id: str
    proposal_digest: str
    verdict: str
    verdict_before_waivers: str
    headline: str
    conditions: tuple[str, ...]
    open_at_inspection: int
    reference: str | None
    annotations: Mapping[str, str]
    jurisdiction: str | None
    edition_chosen_by: str
    ruleset: RulesetSummary
    counts: Mapping[str, int]
    findings: Sequence[Finding]
    cautions: tuple[str, ...]
    defers_to: str
    questions: Sequence[Question] = ()
    calculations: Sequence[Any] = field(default_factory=tuple)
    detail: str = "full"
