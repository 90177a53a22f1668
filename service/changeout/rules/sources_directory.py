"""The directory of all sources of power."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Answer, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "other-sources-directory",
    group="other-sources",
    about="/service/sources_directory",
    stage=Stage.INSPECTION,
    needs=("/generation", "/service/sources_directory"),
    applies_to="buildings with another source of power than the supply",
)
def sources_directory(case: Case, _limits: Limits) -> Answer:
    """A directory or plaque shows every source of power and where its disconnect is.

    Because: who switches the service off must know what still feeds the building.
    Passes: when the directory is declared.
    Fails: when it is declared missing.
    Cannot tell: when there is another source, or there may be one, and nothing is said of the directory.
    Not covered: its words and its place, and the plaque at an outdoor emergency disconnect, which are seen on site.
    """
    sources = case.proposal.generation
    others = Claim(Truth.of(bool(sources.items)) if sources.stated else Truth.UNKNOWN, sources.inputs, sources.missing)
    return under(
        others,
        decide(
            case.service.sources_directory.claim,
            yes="a directory shows the sources of power and their disconnects",
            no="there is no directory of the sources of power and their disconnects",
            notes=Notes(remedy="post a directory at the service that shows every source and its disconnect"),
        ),
        otherwise="there is no other source of power than the supply",
    )
