"""What a rule is given: the proposal, the calculations made once for all rules, and the ruleset's circumstances."""

from __future__ import annotations

from changeout.domain.proposal import (
    Circuit,
    Enclosure,
    Grounding,
    Load,
    Location,
    Panelboard,
    Project,
    Proposal,
    Service,
    Supply,
    Work,
)
from changeout.domain.value import value
from changeout.electrical.fault_current import FaultCurrent
from changeout.electrical.loads import LoadResult


@value(frozen=True, slots=True, kw_only=True)
class Adoption:
    """How the edition of a review came to be chosen.

    ``in_force`` is the edition that the jurisdiction's adoptions give for the date, None where no jurisdiction is
    named. ``comparison`` is true where editions are laid side by side and none is claimed to be in force.
    """

    chosen: str
    chosen_by: str
    in_force: str | None = None
    in_force_because: str = ""
    comparison: bool = False


@value(frozen=True, slots=True, kw_only=True)
class Case:
    """One proposal under one ruleset."""

    proposal: Proposal
    fault_current: FaultCurrent
    load_result: LoadResult
    adoption: Adoption

    @property
    def project(self) -> Project:
        """Whose rules apply."""
        return self.proposal.project

    @property
    def work(self) -> Work:
        """What is proposed."""
        return self.proposal.work

    @property
    def supply(self) -> Supply:
        """The supply down to the panelboard."""
        return self.proposal.supply

    @property
    def panelboard(self) -> Panelboard:
        """The replacement panelboard."""
        return self.proposal.panelboard

    @property
    def circuits(self) -> tuple[Circuit, ...]:
        """The circuits that were stated."""
        return self.proposal.panelboard.circuits.items

    @property
    def enclosure(self) -> Enclosure:
        """The box."""
        return self.proposal.enclosure

    @property
    def location(self) -> Location:
        """Where it stands."""
        return self.proposal.location

    @property
    def load(self) -> Load:
        """The load as stated; see ``load_result`` for what follows."""
        return self.proposal.load

    @property
    def grounding(self) -> Grounding:
        """Grounding and bonding."""
        return self.proposal.grounding

    @property
    def service(self) -> Service:
        """What is asked of service equipment."""
        return self.proposal.service
