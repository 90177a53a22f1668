"""The calculations of conductors and busbar, composed for a case under a ruleset as its rules compose them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from changeout.domain.calculation import Calculation
from changeout.domain.facts import Measurement, certain, fixed, merged
from changeout.domain.interval import Interval
from changeout.domain.proposal import Run
from changeout.electrical.busbar import Busbar
from changeout.electrical.dwelling_service import may_use_dwelling_service_rule
from changeout.electrical.grounding_sizes import GroundingAsked, GroundingLimits, GroundingSections
from changeout.electrical.installed import ampacity_calculation
from changeout.electrical.other_sources import BusbarAsked, busbar_calculation, busbar_not_asked
from changeout.electrical.overcurrent import permitted_rating_a
from changeout.electrical.sizes import SizesAsked, sizes_calculation, sizes_without_runs
from changeout.electrical.supply_sizes import DwellingUse, LoadCarried, Protected, SupplyAsked
from changeout.review.ruleset import Ruleset
from changeout.rules._case import Case
from changeout.rules._compare import within
from changeout.rules._registry import Limits
from changeout.rules._sources import behind_transfer, busbar_protection, busbar_sums, sources_on_busbar
from changeout.rules._supply import ahead, dwelling_limits, last_run, mains, served, terminals
from changeout.rules._supply_protection import supply_protection
from changeout.tables.ampacity import ampacity_sections
from changeout.tables.overcurrent import lasting_standard_ratings

_PROTECTION: Final = "supply-conductors-protected-at-ampacity"
_DWELLING: Final = "dwelling-service-conductor-83-percent"
_CONTINUOUS: Final = "main-rating-covers-load-with-continuous-part"
_SOURCES: Final = "interconnected-source-busbar-rule"
_TRANSFER: Final = (
    "A generator behind listed transfer equipment is not on the busbar with the supply: whether it is so is not stated."
)
_ELECTRODE: Final = "grounding-electrode-conductor-size"
_JUMPER: Final = "main-bonding-jumper-present-and-sized"
_CAPS: Final = {
    ("rod-pipe-plate", "copper"): "rod_cap_copper",
    ("rod-pipe-plate", "aluminum"): "rod_cap_aluminum",
    ("concrete-encased", "copper"): "concrete_cap_copper",
}
"""The parameters of the rule that hold the caps of single kinds of electrode."""

_DWELLING_OCCUPANCIES: Final = ("one-family-dwelling", "two-family-dwelling", "multifamily-dwelling")


def ampacity_of(case: Case, ruleset: Ruleset) -> Calculation:
    """Return the ampacity of the supply's runs and of every circuit's conductors as installed."""
    cited = ampacity_sections(ruleset.edition.name)
    return ampacity_calculation(case.supply, case.panelboard, served(case).rating, cited)


def sizes_of(case: Case, ruleset: Ruleset) -> Calculation:
    """Return the sizes of the supply, grounding and bonding conductors."""
    run = last_run(case)
    if run is None:
        return sizes_without_runs(case.supply.runs)
    asked = SizesAsked(
        supply=SupplyAsked(
            run=run,
            terminals=terminals(case, served(case).rating),
            load=_load(case, ruleset),
            device=_protected(case, ruleset),
            dwelling=_dwelling(case, ruleset),
            cited=ampacity_sections(ruleset.edition.name),
        ),
        grounding=_grounding(case, ruleset, run),
    )
    return sizes_calculation(asked)


def busbar_of(case: Case, ruleset: Ruleset) -> Calculation:
    """Return the sums that are permitted on the busbar with its other sources, and which of them holds."""
    limits = _limits(ruleset, _SOURCES)
    if limits is None:
        return busbar_not_asked()
    sources, protection = sources_on_busbar(case), busbar_protection(case)
    return busbar_calculation(
        BusbarAsked(
            busbar=Busbar(
                rating=case.panelboard.busbar_rating_a,
                protection=fixed(0.0) if protection is None else protection,
                sources=sources,
                circuits=case.panelboard.circuits,
            ),
            protected=protection is not None,
            sums=busbar_sums(case, limits, sources),
            fits=lambda found: within(found.total, found.limit),
            output_factor=limits.number("output_factor"),
            factors={
                "sum": 1.0,
                "120-percent": limits.number("opposite_end_factor"),
                "center-fed": limits.number("center_fed_factor"),
            },
            section=_section(ruleset, _SOURCES),
            cautions=(_TRANSFER,) if behind_transfer(case).unknown else (),
        )
    )


def _limits(ruleset: Ruleset, rule: str) -> Limits | None:
    """Return the parameters of a rule, or None where the ruleset does not ask it."""
    row = ruleset.edition.rows.get(rule)
    return ruleset.limits[rule] if row is not None and row.is_asked else None


def _section(ruleset: Ruleset, rule: str) -> str:
    row = ruleset.edition.rows.get(rule)
    return row.section if row is not None and row.section else "not asked by this ruleset"


def _protected(case: Case, ruleset: Ruleset) -> Protected | None:
    limits = _limits(ruleset, _PROTECTION)
    protection = supply_protection(case, limits, terminals) if limits else None
    if limits is None or protection is None:
        return None
    tap = case.supply.tap.claim & ~case.panelboard.role.among("service")
    rated = _permitted(limits.number("round_up_to_a")) if _rounds_up(case, protection.device) else float
    return Protected(
        name="main at the end of the tap" if tap.holds else protection.name,
        rating=mains(case).rating if tap.holds else protection.device,
        permitted=protection.ampacity if tap.holds else protection.permitted,
        fits=protection.claim,
        counted=float if tap.holds else rated,
        section=_section(ruleset, _PROTECTION),
    )


def _rounds_up(case: Case, device: Measurement) -> bool:
    """Whether the device may be the next standard rating: not at the end of a transformer's secondary conductors.

    Nor is a load rounded that several disconnects stand for.
    """
    at_end = case.supply.separately_derived is not None and not ahead(case).there.holds
    return not at_end and device is not case.load_result.amps


def _permitted(through_a: float) -> Callable[[float], float]:
    ratings = lasting_standard_ratings()
    return lambda ampacity_a: max(ampacity_a, permitted_rating_a(ampacity_a, ratings, through_a))


def _dwelling(case: Case, ruleset: Ruleset) -> DwellingUse | None:
    limits, device = _limits(ruleset, _DWELLING), served(case)
    if limits is None or device.there.fails:
        return None
    rule = dwelling_limits(limits)
    return DwellingUse(
        may_use=may_use_dwelling_service_rule(case.proposal, device.rating, rule),
        rating=device.rating,
        fraction=rule.fraction,
        section=_section(ruleset, _DWELLING),
    )


def _load(case: Case, ruleset: Ruleset) -> LoadCarried:
    """Return the load that the conductors carry.

    That of a dwelling has its continuous part inside; a main listed for its full rating needs nothing more.
    """
    plain, raised = case.load_result.amps, case.load_result.continuous_adjusted_a
    listed = case.panelboard.main.hundred_percent_rated.claim
    dwelling = case.project.occupancy.among(*_DWELLING_OCCUPANCIES) & certain(
        case.project.serves.value != "common-area", case.project.serves
    )
    if dwelling.holds or listed.holds:
        more = plain
    elif listed.fails:
        more = raised
    else:
        low, missing = plain.low, merged(raised.missing, listed.missing)
        more = Measurement(Interval(low, raised.high), raised.inputs, missing if raised.high > low else ())
    return LoadCarried(plain=plain, with_continuous=more, section=_section(ruleset, _CONTINUOUS))


def _grounding(case: Case, ruleset: Ruleset, run: Run) -> GroundingAsked:
    before = ahead(case)
    return GroundingAsked(
        run=run,
        supply=case.supply,
        grounding=case.grounding,
        service=case.panelboard.role.among("service"),
        own_source=case.supply.separately_derived is not None,
        device_ahead=None if before.there.fails else before.rating,
        limits=_grounding_limits(ruleset),
        sections=GroundingSections(
            electrode=_section(ruleset, _ELECTRODE),
            jumper=_section(ruleset, _JUMPER),
            equipment=_section(ruleset, "equipment-grounding-conductor-size"),
        ),
    )


def _grounding_limits(ruleset: Ruleset) -> GroundingLimits:
    electrode, jumper = _limits(ruleset, _ELECTRODE), _limits(ruleset, _JUMPER)
    return GroundingLimits(
        caps={kind: electrode.word(name) for kind, name in _CAPS.items()} if electrode else None,
        over_table_percent=jumper.number("percent_over_table_percent") if jumper else None,
    )
