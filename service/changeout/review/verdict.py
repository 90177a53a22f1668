"""What all findings together amount to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Final

from changeout.domain.findings import Advice, Finding, Outcome

VERDICTS: Final = ("violations", "undetermined", "conforms-with-conditions", "conforms")


def verdict_of(findings: Iterable[Finding], *, with_waivers: bool) -> str:
    """Return the verdict; *with_waivers* false leaves waivers aside."""
    outcomes = {f.outcome for f in findings if not (with_waivers and f.waived)}
    if Outcome.VIOLATION in outcomes:
        return "violations"
    if Outcome.UNDETERMINED in outcomes:
        return "undetermined"
    return "conforms-with-conditions" if Outcome.CONDITIONAL in outcomes else "conforms"


def counts_of(findings: Sequence[Finding]) -> dict[str, int]:
    """Return how many findings there are of each outcome, and how many are waived (these count as violations too)."""
    counted = Counter(f.outcome for f in findings)
    return {o.value: counted.get(o, 0) for o in Outcome} | {"waived": sum(1 for f in findings if f.waived)}


def open_at_inspection(findings: Iterable[Finding]) -> int:
    """Return how many things are left to be seen at inspection."""
    return sum(1 for f in findings if f.advice is Advice.INSPECTION)


def headline_of(findings: Sequence[Finding], verdict: str) -> str:
    """Return the report in one sentence."""
    counts = counts_of(findings)
    standing = counts["violation"] - counts["waived"]
    parts = []
    if standing:
        parts.append(_many(standing, "violation"))
    if counts["undetermined"]:
        parts.append(f"{_many(counts['undetermined'], 'finding')} that cannot be told yet")
    if counts["conditional"] and verdict != "conforms-with-conditions":
        parts.append(_many(counts["conditional"], "condition"))
    seen = open_at_inspection(findings)
    if seen:
        parts.append(f"{_many(seen, 'item')} to be seen at inspection")
    if counts["waived"]:
        parts.append(f"{_many(counts['waived'], 'violation')} waived")
    opening = {
        "violations": "Does not conform as proposed",
        "undetermined": "Cannot be decided from what is stated",
        "conforms-with-conditions": _tied(counts["conditional"]),
        "conforms": "Conforms as proposed",
    }[verdict]
    joint = ", " if verdict.startswith("conforms") else ": "
    return f"{opening}{joint}{', '.join(parts)}." if parts else f"{opening}."


def _tied(conditions: int) -> str:
    return f"Conforms as proposed once {_many(conditions, 'condition')} {'is' if conditions == 1 else 'are'} met"


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
